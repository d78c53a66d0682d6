/* What the judge finds: faults, and moves as the verdict names them. */
#include "base/vector.h"
#include "play/play_int.h"

bool is_too_fast(const struct timeline *timeline, struct fraction tempo, int64_t ticks, int64_t us)
{
    enum { MINUTE_US = 60000000 };
    return ratio_compare(ticks, timeline->quarter, us * tempo.numerator,
                         MINUTE_US * tempo.denominator) < 0;
}

static enum move_cause cause_of(const struct stretch *stretch)
{
    uint8_t from = stretch->from->flags, to = stretch->to->flags;
    if (stretch->kind == MOVE_SUSTAIN || stretch->kind == MOVE_HAT_CLOSE)
        return CAUSE_NONE;
    if (to & BLOW_GRACE)
        return CAUSE_TO_GRACE;
    if (from & BLOW_GRACE)
        return CAUSE_FROM_GRACE;
    return (from & BLOW_GHOST) && (to & BLOW_ACCENT) ? CAUSE_ACCENT : CAUSE_NONE;
}

struct move judgement_move(const struct judgement *judgement, const struct stretch *stretch)
{
    const struct timeline_bar *bar = &judgement->timeline->bars.items[stretch->to->bar];
    return (struct move){.kind = (uint8_t)stretch->kind,
                         .limb = limb_of_role(stretch->role, judgement->reach->kit->left_handed),
                         .cause = (uint8_t)cause_of(stretch),
                         .from = stretch->from->voice,
                         .to = stretch->to->voice,
                         .strokes = stretch->strokes,
                         .ticks = stretch->ticks,
                         .takes_us = stretch->takes_us,
                         .begins = stretch->from->note,
                         .note = stretch->to->note,
                         .bar = bar->bar,
                         .tick = stretch->to->tick - bar->tick};
}

/* A limb's strokes on the spot are one group, however many they are; a move is one of its own. */
bool judgement_same_group(const struct move *a, const struct move *b)
{
    bool moves_a = a->kind == MOVE_TRAVEL || a->kind == MOVE_CROSS;
    bool moves_b = b->kind == MOVE_TRAVEL || b->kind == MOVE_CROSS;
    if (a->limb != b->limb || moves_a != moves_b ||
        (a->kind == MOVE_HAT_CLOSE) != (b->kind == MOVE_HAT_CLOSE))
        return false;
    return !moves_a || (a->from == b->from && a->to == b->to);
}

void judgement_add_group(struct judgement *judgement, const struct stretch *stretch, int64_t ticks,
                         int64_t us)
{
    struct limit_groups *groups = judgement->groups;
    struct limit_group found = {judgement_move(judgement, stretch), ticks, us};
    size_t i = 0;
    while (i < groups->count && !judgement_same_group(&groups->items[i].move, &found.move))
        i++;
    if (i == LIMIT_GROUPS_MOST)
        return;
    if (i == groups->count)
        groups->items[groups->count++] = found;
    else if (ratio_compare(ticks, us, groups->items[i].ticks, groups->items[i].us) < 0)
        groups->items[i] = found;
}

/* Conflicts before what takes time, then what has the least time for what it takes. */
bool fault_is_worse(const struct fault *a, const struct fault *b)
{
    if (a->kind == FAULT_TIME && b->kind == FAULT_TIME)
        return ratio_compare(a->move.ticks, a->move.takes_us, b->move.ticks, b->move.takes_us) < 0;
    return b->kind == FAULT_TIME;
}

/* Where the file asks for a blow: a voice by count has its own line. */
static struct place place_of(const struct judgement *judgement, const struct blow *blow)
{
    const struct note *note = blow->note;
    const struct score_bar *bar = judgement->timeline->bars.items[blow->bar].bar;
    const struct keyed_voices *keyed = bar->settings->keyed;
    bool ghost = blow->flags & BLOW_GHOST;
    for (size_t i = 0; keyed && !note->letter && i < keyed->count; i++) {
        const struct voicing *what = &keyed->items[i].what;
        if (what->voices[0] == blow->voice && ghost == ((what->marks & MARK_GHOST) != 0) &&
            what->graces == note->grace_count && (note->proposed & NOTE_KEYED))
            return keyed->items[i].counts.at;
    }
    return note->at;
}

void judgement_add_fault(struct judgement *judgement, const struct stretch *stretch,
                         enum fault_kind kind)
{
    struct fault fault = {judgement_move(judgement, stretch), kind,
                          place_of(judgement, stretch->to)};
    for (size_t i = 0; i < judgement->faults.count; i++) {
        struct fault *known = &judgement->faults.items[i];
        if (!place_same(known->at, fault.at))
            continue;
        if (fault_is_worse(&fault, known))
            *known = fault;
        return;
    }
    if (judgement->faults.count < DIAGS_LIMIT)
        *vector_push(&judgement->faults, NULL) = fault;
}

void judgement_add_conflict(struct judgement *judgement, enum fault_kind kind, const struct blow *a,
                            const struct blow *b)
{
    judgement->impossible = true;
    struct stretch stretch = {.from = a, .to = b, .role = b->role, .strokes = 2};
    if (judgement->tempo.denominator)
        judgement_add_fault(judgement, &stretch, kind);
}

void judgement_release(struct judgement *judgement)
{
    vector_release(&judgement->faults);
}
