/*
 * Every stretch between two blows of a limb, against the time that it takes: the table of
 * constraints of ratamark(1), PLAYABILITY. One pass finds the stretch with the least time for what
 * it takes; another, where a tempo is asked about, those that are broken at it.
 */
#include "play/play_int.h"

__extension__ typedef __int128 wide;

enum { MINUTE_US = 60000000, CROSS_WINDOW_US = 250000 };

/* ---- weighing ----------------------------------------------------------------------------- */

/* ticks_a / us_a against ticks_b / us_b. */
static bool is_less(int64_t ticks_a, int64_t us_a, int64_t ticks_b, int64_t us_b)
{
    return (wide)ticks_a * us_b < (wide)ticks_b * us_a;
}

/* At the tempo asked about, so many ticks last less than that. */
static bool is_shorter(const struct judgement *judgement, int64_t ticks, int64_t us)
{
    return (wide)ticks * MINUTE_US * judgement->tempo_denominator <
           (wide)us * judgement->timeline->quarter * judgement->tempo_numerator;
}

struct stretch {
    const struct blow *from, *to;
    enum move_kind kind;
    uint8_t role;
    uint16_t strokes;
    int64_t ticks;
    int32_t takes_us;
};

static struct move move_of(const struct judgement *judgement, const struct stretch *stretch)
{
    return (struct move){.kind = (uint8_t)stretch->kind,
                         .limb = limb_of_role(stretch->role, judgement->left_handed),
                         .from = stretch->from->voice,
                         .to = stretch->to->voice,
                         .strokes = stretch->strokes,
                         .ticks = stretch->ticks,
                         .takes_us = stretch->takes_us,
                         .note = stretch->to->note,
                         .bar = judgement->timeline->bars[stretch->to->bar].bar,
                         .tick =
                             stretch->to->tick - judgement->timeline->bars[stretch->to->bar].tick};
}

/* One fault a place: the one with the least time for what it takes, and conflicts before any. */
static void keep_fault(struct judgement *judgement, const struct fault *fault)
{
    for (size_t i = 0; i < judgement->fault_count; i++) {
        struct fault *known = &judgement->faults[i];
        if (!same_place(known->at, fault->at))
            continue;
        bool worse =
            known->kind == FAULT_TIME &&
            (fault->kind != FAULT_TIME || is_less(fault->move.ticks, fault->move.takes_us,
                                                  known->move.ticks, known->move.takes_us));
        if (worse)
            *known = *fault;
        return;
    }
    if (judgement->fault_count == DIAGS_LIMIT)
        return;
    if (judgement->fault_count == judgement->fault_room) {
        judgement->fault_room = judgement->fault_room ? judgement->fault_room * 2 : 16;
        judgement->faults =
            memory_resize(judgement->faults, judgement->fault_room * sizeof *judgement->faults);
    }
    judgement->faults[judgement->fault_count++] = *fault;
}

static void keep_stretch(struct judgement *judgement, const struct stretch *stretch)
{
    struct fault fault = {move_of(judgement, stretch), FAULT_TIME, stretch->to->note->at};
    keep_fault(judgement, &fault);
}

static void take_limit(struct judgement *judgement, const struct stretch *stretch, int64_t ticks,
                       int64_t us)
{
    judgement->limit = move_of(judgement, stretch);
    judgement->limit_ticks = ticks;
    judgement->limit_us = us;
    judgement->limit_tick = stretch->to->tick;
}

/* Of equal limits the earliest counts, then that of the limb that is looked at first. */
static void limit_by(struct judgement *judgement, const struct stretch *stretch, int64_t ticks,
                     int64_t us)
{
    wide here = (wide)ticks * judgement->limit_us, there = (wide)judgement->limit_ticks * us;
    if (here > there && judgement->limit.note)
        return;
    if (here < there || !judgement->limit.note || stretch->to->tick < judgement->limit_tick)
        take_limit(judgement, stretch, ticks, us);
}

/* Grace strokes come before their note's time: what ends on one has less, what begins on one more.
   False where nothing is left to be asked for. */
static inline bool with_graces(struct stretch *stretch)
{
    stretch->takes_us += stretch->to->early_us - stretch->from->early_us;
    return stretch->takes_us > 0;
}

static inline void weigh(struct judgement *judgement, struct stretch stretch)
{
    if (!with_graces(&stretch))
        return;
    if (judgement->tempo_denominator) {
        if (is_shorter(judgement, stretch.ticks, stretch.takes_us))
            keep_stretch(judgement, &stretch);
    } else {
        limit_by(judgement, &stretch, stretch.ticks, stretch.takes_us);
    }
}

/* The same where hands cross, which they do while their strokes are nearer than the window: that
   asks for both, more time than there is and a tempo at which they are so near. */
static void weigh_crossed(struct judgement *judgement, struct stretch stretch, int64_t gap)
{
    stretch.kind = MOVE_CROSS;
    stretch.takes_us += judgement->plan->limits->values[LIMIT_CROSS];
    if (!with_graces(&stretch))
        return;
    if (judgement->tempo_denominator) {
        if (is_shorter(judgement, stretch.ticks, stretch.takes_us) &&
            is_shorter(judgement, gap, CROSS_WINDOW_US))
            keep_stretch(judgement, &stretch);
    } else if (is_less(stretch.ticks, stretch.takes_us, gap, CROSS_WINDOW_US)) {
        limit_by(judgement, &stretch, gap, CROSS_WINDOW_US);
    } else {
        limit_by(judgement, &stretch, stretch.ticks, stretch.takes_us);
    }
}

/* ---- the limits of a limb ----------------------------------------------------------------- */

struct needs {
    int32_t burst, sustained, rebound, prepare;
    int32_t rows[LIMIT_STROKES_MOST + 1]; /* for so many driven strokes in a row */
    int strokes, bounces;
    const int32_t *moves; /* by voices in the plan */
};

static int32_t share(int32_t us, int32_t percent)
{
    return (int32_t)((int64_t)us * percent / 100);
}

static struct needs needs_of(const struct plan *plan, uint8_t role)
{
    const int32_t *values = plan->limits->values;
    int32_t weak = role == ROLE_WEAK_HAND ? values[LIMIT_WEAK_HAND] : 100;
    struct needs needs = {.strokes = values[LIMIT_STROKES], .bounces = 1};
    if (role <= ROLE_WEAK_HAND) {
        needs.burst = share(values[LIMIT_HAND_BURST], weak);
        needs.sustained = share(values[LIMIT_HAND_SUSTAINED], weak);
        needs.rebound = share(values[LIMIT_BOUNCE], weak);
        needs.bounces = values[LIMIT_BOUNCES];
        needs.prepare = values[LIMIT_PREPARE];
        needs.moves = plan->hand_us;
    } else if (role == ROLE_BASS_FOOT) {
        needs.burst = values[LIMIT_FOOT_BURST];
        needs.sustained = values[LIMIT_FOOT_SUSTAINED];
        needs.rebound = values[LIMIT_HEEL_TOE];
        needs.bounces = 2;
        needs.moves = plan->foot_us;
    } else {
        needs.burst = values[LIMIT_HAT_FOOT_BURST];
        needs.sustained = values[LIMIT_HAT_FOOT_SUSTAINED];
        needs.moves = plan->foot_us;
    }
    if (needs.rebound >= needs.burst)
        needs.bounces = 1; /* a rebound that is no quicker is a stroke like any other */
    int64_t steps = needs.strokes - 2;
    for (int w = 3; w <= needs.strokes; w++) {
        int64_t each = needs.burst * steps + (int64_t)(needs.sustained - needs.burst) * (w - 2);
        needs.rows[w] = (int32_t)((w - 1) * each / steps);
    }
    return needs;
}

/* ---- rebounds ----------------------------------------------------------------------------- */

static bool may_rebound(const struct plan *plan, const struct blow *first, const struct blow *blow)
{
    return !(blow->flags & (BLOW_ACCENT | BLOW_GRACE | BLOW_BUZZ)) && !blow->early_us &&
           (blow->voice == first->voice ||
            same_surface(&plan->kit->voices[blow->voice], &plan->kit->voices[first->voice]));
}

/* Whether blows [i, i + size) are one driven stroke and its rebounds: as even as the level asks
   for, and as far from what comes before and after. */
static bool is_group(const struct plan *plan, const struct blows *row, size_t i, size_t size)
{
    const struct blow *at = row->items + i;
    int64_t evenness = plan->limits->values[LIMIT_EVENNESS];
    int64_t shortest = INT64_MAX, longest = 0;
    for (size_t k = 1; k < size; k++) {
        int64_t gap = at[k].tick - at[k - 1].tick;
        if (!may_rebound(plan, at, &at[k]))
            return false;
        shortest = gap < shortest ? gap : shortest;
        longest = gap > longest ? gap : longest;
    }
    if (shortest <= 0 || 100 * longest > evenness * shortest)
        return false;
    if (i > 0 && 100 * (at[0].tick - at[-1].tick) < evenness * longest)
        return false;
    return i + size == row->count ||
           100 * (at[size].tick - at[size - 1].tick) >= evenness * longest;
}

static void find_rebounds(const struct plan *plan, struct blows *row, int most)
{
    for (size_t i = 0; i + 1 < row->count;) {
        size_t step = 1;
        bool starts = !(row->items[i].flags & (BLOW_GRACE | BLOW_BUZZ));
        for (size_t size = 2; starts && size <= (size_t)most && i + size <= row->count; size++)
            if (is_group(plan, row, i, size)) {
                for (size_t k = 1; k < size; k++)
                    row->items[i + k].flags |= BLOW_REBOUND;
                step = size;
                break;
            }
        i += step;
    }
}

/* ---- one limb ----------------------------------------------------------------------------- */

bool is_travel(const struct judgement *judgement, const struct blow *from, const struct blow *to)
{
    return from->voice != to->voice &&
           !same_surface(voice_of(judgement, from->voice), voice_of(judgement, to->voice));
}

static struct stretch between(const struct judgement *judgement, const struct needs *needs,
                              const struct blow *from, const struct blow *to)
{
    const struct plan *plan = judgement->plan;
    struct stretch stretch = {.from = from,
                              .to = to,
                              .kind = MOVE_REPEAT,
                              .role = to->role,
                              .strokes = 2,
                              .ticks = to->tick - from->tick,
                              .takes_us = needs->burst};
    if (to->flags & BLOW_REBOUND) {
        stretch.kind = MOVE_BOUNCE;
        stretch.takes_us = needs->rebound;
    } else if (is_travel(judgement, from, to)) {
        int32_t move =
            needs->moves[plan->index[from->voice] * plan->count + plan->index[to->voice]];
        stretch.kind = MOVE_TRAVEL;
        stretch.takes_us = move > needs->burst ? move : needs->burst;
    }
    if ((from->flags & BLOW_GHOST) && (to->flags & BLOW_ACCENT))
        stretch.takes_us += needs->prepare;
    return stretch;
}

/* A grace stroke and its own note are one gesture, as are two blows of a slash at one moment. */
static bool is_gesture(const struct blow *from, const struct blow *to)
{
    return from->tick == to->tick && from->note == to->note;
}

static void judge_pairs(struct judgement *judgement, const struct needs *needs, uint8_t role,
                        bool crossing)
{
    const struct blows *row = &judgement->timeline->limbs[role];
    size_t near = 0;
    int64_t before =
        crossing && row->count ? hands_crossed_gap(judgement, &row->items[0], &near) : INT64_MAX;
    for (size_t i = 1; i < row->count; i++) {
        const struct blow *from = &row->items[i - 1], *to = &row->items[i];
        int64_t gap = crossing ? hands_crossed_gap(judgement, to, &near) : INT64_MAX;
        if (!is_gesture(from, to)) {
            struct stretch stretch = between(judgement, needs, from, to);
            weigh(judgement, stretch);
            int64_t nearest = gap < before ? gap : before;
            if (stretch.kind == MOVE_TRAVEL && nearest != INT64_MAX)
                weigh_crossed(judgement, stretch, nearest);
        }
        if (gap != INT64_MAX && !judgement->crossed) {
            judgement->crossed = to->note;
            judgement->crossed_bar = to->bar;
            judgement->crossed_gap = gap;
        }
        before = gap;
    }
}

/* Any 3 to `strokes` driven blows in a row. A gesture counts once, from its first blow. */
static void judge_rows(struct judgement *judgement, const struct needs *needs, uint8_t role)
{
    const struct blows *row = &judgement->timeline->limbs[role];
    const struct blow *last[LIMIT_STROKES_MOST];
    int known = 0, next = 0, most = needs->strokes;
    for (size_t i = 0; i < row->count; i++) {
        const struct blow *blow = &row->items[i];
        if ((blow->flags & BLOW_REBOUND) || (i > 0 && is_gesture(blow - 1, blow)))
            continue;
        last[next] = blow;
        next = next + 1 == most ? 0 : next + 1;
        known += known < most;
        for (int w = 3, back = next; w <= known; w++) {
            if (w == 3)
                back = next - 3 < 0 ? next - 3 + most : next - 3;
            else
                back = back == 0 ? most - 1 : back - 1;
            weigh(judgement, (struct stretch){.from = last[back],
                                              .to = blow,
                                              .kind = MOVE_SUSTAIN,
                                              .role = role,
                                              .strokes = (uint16_t)w,
                                              .ticks = blow->tick - last[back]->tick,
                                              .takes_us = needs->rows[w]});
        }
    }
}

/* ---- the hi-hat -------------------------------------------------------------------------- */

static void judge_hats(struct judgement *judgement)
{
    size_t at[ROLE_COUNT] = {0};
    const struct blow *open = NULL, *blow;
    while ((blow = next_blow(judgement->timeline, at))) {
        if (opens_hats(judgement, blow)) {
            open = blow;
        } else if (closes_hats(judgement, blow)) {
            if (open && blow->tick > open->tick)
                weigh(judgement, (struct stretch){
                                     .from = open,
                                     .to = blow,
                                     .kind = MOVE_HAT_CLOSE,
                                     .role = ROLE_HAT_FOOT,
                                     .strokes = 2,
                                     .ticks = blow->tick - open->tick,
                                     .takes_us = judgement->plan->limits->values[LIMIT_HAT_CLOSE]});
            if (!open || blow->tick > open->tick)
                open = NULL;
        }
    }
}

void judge_conflict(struct judgement *judgement, enum fault_kind kind, const struct blow *a,
                    const struct blow *b)
{
    judgement->impossible = true;
    if (!judgement->tempo_denominator)
        return;
    struct stretch stretch = {.from = a, .to = b, .role = b->role, .strokes = 2};
    struct fault fault = {move_of(judgement, &stretch), kind, b->note->at};
    keep_fault(judgement, &fault);
}

/* ---- the whole ---------------------------------------------------------------------------- */

void judge(struct judgement *judgement, struct timeline *timeline, const struct plan *plan)
{
    judgement->timeline = timeline;
    judgement->plan = plan;
    judgement->left_handed = plan->kit->left_handed;
    bool crossing = hands_can_cross(judgement);
    for (int limb = 0; limb < ROLE_COUNT; limb++) {
        uint8_t role = (uint8_t)limb;
        if (timeline->limbs[role].count < 2)
            continue;
        struct needs needs = needs_of(plan, role);
        if (needs.bounces > 1)
            find_rebounds(plan, &timeline->limbs[role], needs.bounces);
        judge_pairs(judgement, &needs, role, crossing && role <= ROLE_WEAK_HAND);
        judge_rows(judgement, &needs, role);
    }
    if (timeline->open_hats)
        judge_hats(judgement);
    if (conflicts_possible(judgement))
        conflicts_find(judgement);
}

void judgement_release(struct judgement *judgement)
{
    memory_free(judgement->faults);
    *judgement = (struct judgement){0};
}
