/*
 * How fast an exercise can be played: the table of constraints of ratamark(1), PLAYABILITY.
 *
 *     for each limb
 *         what its strokes need, by the level        needs_of()
 *         which strokes are rebounds                 find_rebounds()
 *         each blow and the next: rebound, repeat,
 *             move, crossed hands                    judge_pairs()
 *         3 and more driven strokes in a row         judge_rows()
 *     an open hi-hat, until it is closed             judge_hats()
 *     strokes at once that exclude each other        conflicts.c
 *
 * Each of these is a stretch between two blows: the ticks that there are and the microseconds that
 * it takes. weigh() keeps the one with the least time for what it takes, which is the limit; or,
 * where a tempo is asked about, every stretch that is too short at it.
 */
#include "play/play_int.h"

enum { CROSS_WINDOW_US = 250000 };

/* ---- weighing ----------------------------------------------------------------------------- */

static void take_limit(struct judgement *judgement, const struct stretch *stretch, int64_t ticks,
                       int64_t us)
{
    judgement->limit = judgement_move(judgement, stretch);
    judgement->limit_ticks = ticks;
    judgement->limit_us = us;
    judgement->limit_tick = stretch->to->tick;
}

/* The earliest of equal limits counts, then that of the limb that is looked at first. */
static inline void limit_by(struct judgement *judgement, const struct stretch *stretch,
                            int64_t ticks, int64_t us)
{
    if (judgement->limit.note) {
        int order = ratio_compare(ticks, us, judgement->limit_ticks, judgement->limit_us);
        if (order > 0 || (order == 0 && stretch->to->tick >= judgement->limit_tick))
            return;
    }
    take_limit(judgement, stretch, ticks, us);
}

/* Grace strokes come before their note's time: a stretch that ends on one has less time, one that
   begins on one has more. False if it then needs no time at all. */
static inline bool with_graces(struct stretch *stretch)
{
    stretch->takes_us += stretch->to->early_us - stretch->from->early_us;
    return stretch->takes_us > 0;
}

static inline void weigh(struct judgement *judgement, struct stretch stretch)
{
    if (!with_graces(&stretch))
        return;
    if (!judgement->tempo.denominator)
        limit_by(judgement, &stretch, stretch.ticks, stretch.takes_us);
    else if (is_too_fast(judgement->timeline, judgement->tempo, stretch.ticks, stretch.takes_us))
        judgement_add_fault(judgement, &stretch, FAULT_TIME);
}

/* The same in crossed hands, where the other hand strikes within `gap` ticks. It takes longer, but
   only while the gap is shorter than the window: so it is too fast if both are too short. */
static void weigh_crossed(struct judgement *judgement, struct stretch stretch, int64_t gap)
{
    stretch.kind = MOVE_CROSS;
    stretch.takes_us += judgement->reach->limits->values[LIMIT_CROSS];
    if (!with_graces(&stretch))
        return;
    if (judgement->tempo.denominator) {
        const struct timeline *timeline = judgement->timeline;
        if (is_too_fast(timeline, judgement->tempo, stretch.ticks, stretch.takes_us) &&
            is_too_fast(timeline, judgement->tempo, gap, CROSS_WINDOW_US))
            judgement_add_fault(judgement, &stretch, FAULT_TIME);
    } else if (ratio_compare(stretch.ticks, stretch.takes_us, gap, CROSS_WINDOW_US) < 0) {
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
    const int32_t *moves; /* by voices in the reach */
};

static int32_t share(int32_t us, int32_t percent)
{
    return (int32_t)((int64_t)us * percent / 100);
}

static struct needs needs_of(const struct reach *reach, uint8_t role)
{
    const int32_t *values = reach->limits->values;
    int32_t weak = role == WEAK_HAND ? values[LIMIT_WEAK_HAND] : 100;
    struct needs needs = {.strokes = values[LIMIT_STROKES], .bounces = 1};
    if (role <= WEAK_HAND) {
        needs.burst = share(values[LIMIT_HAND_BURST], weak);
        needs.sustained = share(values[LIMIT_HAND_SUSTAINED], weak);
        needs.rebound = share(values[LIMIT_BOUNCE], weak);
        needs.bounces = values[LIMIT_BOUNCES];
        needs.prepare = values[LIMIT_PREPARE];
        needs.moves = reach->hand_us;
    } else if (role == BASS_FOOT) {
        needs.burst = values[LIMIT_FOOT_BURST];
        needs.sustained = values[LIMIT_FOOT_SUSTAINED];
        needs.rebound = values[LIMIT_HEEL_TOE];
        needs.bounces = 2;
        needs.moves = reach->foot_us;
    } else {
        needs.burst = values[LIMIT_HAT_FOOT_BURST];
        needs.sustained = values[LIMIT_HAT_FOOT_SUSTAINED];
        needs.moves = reach->foot_us;
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

static bool may_rebound(const struct reach *reach, const struct blow *first,
                        const struct blow *blow)
{
    return !(blow->flags & (BLOW_ACCENT | BLOW_GRACE | BLOW_BUZZ)) && !blow->early_us &&
           (blow->voice == first->voice ||
            same_surface(&reach->kit->voices[blow->voice], &reach->kit->voices[first->voice]));
}

/* Whether blows [i, i + size) are one driven stroke and its rebounds: as even as the level asks
   for, and as far from what comes before and after. */
static bool is_group(const struct reach *reach, const blow_row *row, size_t i, size_t size)
{
    const struct blow *at = row->items + i;
    int64_t evenness = reach->limits->values[LIMIT_EVENNESS];
    int64_t shortest = INT64_MAX, longest = 0;
    for (size_t k = 1; k < size; k++) {
        int64_t gap = at[k].tick - at[k - 1].tick;
        if (!may_rebound(reach, at, &at[k]))
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

static void find_rebounds(const struct reach *reach, blow_row *row, int most)
{
    for (size_t i = 0; i + 1 < row->count;) {
        size_t step = 1;
        bool starts = !(row->items[i].flags & (BLOW_GRACE | BLOW_BUZZ));
        for (size_t size = 2; starts && size <= (size_t)most && i + size <= row->count; size++)
            if (is_group(reach, row, i, size)) {
                for (size_t k = 1; k < size; k++)
                    row->items[i + k].flags |= BLOW_REBOUND;
                step = size;
                break;
            }
        i += step;
    }
}

/* ---- one limb ----------------------------------------------------------------------------- */

static struct stretch between(const struct judgement *judgement, const struct needs *needs,
                              const struct blow *from, const struct blow *to)
{
    const struct reach *reach = judgement->reach;
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
            needs->moves[reach->index[from->voice] * reach->count + reach->index[to->voice]];
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
    const blow_row *row = &judgement->timeline->limbs[role];
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
        if (gap != INT64_MAX && !judgement->crossed)
            judgement->crossed = to->note;
        before = gap;
    }
}

/* Any 3 to `strokes` driven blows in a row. A gesture counts once, from its first blow. */
static void judge_rows(struct judgement *judgement, const struct needs *needs, uint8_t role)
{
    const blow_row *row = &judgement->timeline->limbs[role];
    const struct blow *driven[LIMIT_STROKES_MOST]; /* the latest ones, as a ring */
    size_t count = 0, most = (size_t)needs->strokes;
    for (size_t i = 0; i < row->count; i++) {
        const struct blow *blow = &row->items[i];
        if ((blow->flags & BLOW_REBOUND) || (i > 0 && is_gesture(blow - 1, blow)))
            continue;
        driven[count++ % LIMIT_STROKES_MOST] = blow;
        for (size_t strokes = 3; strokes <= most && strokes <= count; strokes++) {
            const struct blow *first = driven[(count - strokes) % LIMIT_STROKES_MOST];
            weigh(judgement, (struct stretch){.from = first,
                                              .to = blow,
                                              .kind = MOVE_SUSTAIN,
                                              .role = role,
                                              .strokes = (uint16_t)strokes,
                                              .ticks = blow->tick - first->tick,
                                              .takes_us = needs->rows[strokes]});
        }
    }
}

/* ---- the hi-hat -------------------------------------------------------------------------- */

static void judge_hats(struct judgement *judgement)
{
    size_t at[PLAYING_LIMBS] = {0};
    const struct blow *open = NULL, *blow;
    while ((blow = next_blow(judgement->timeline, at))) {
        if (opens_hats(judgement, blow)) {
            open = blow;
        } else if (closes_hats(judgement, blow)) {
            if (open && blow->tick > open->tick)
                weigh(judgement,
                      (struct stretch){.from = open,
                                       .to = blow,
                                       .kind = MOVE_HAT_CLOSE,
                                       .role = HAT_FOOT,
                                       .strokes = 2,
                                       .ticks = blow->tick - open->tick,
                                       .takes_us =
                                           judgement->reach->limits->values[LIMIT_HAT_CLOSE]});
            if (!open || blow->tick > open->tick)
                open = NULL;
        }
    }
}

/* ---- the whole ---------------------------------------------------------------------------- */

void judge(struct judgement *judgement, struct timeline *timeline, const struct reach *reach)
{
    judgement->timeline = timeline;
    judgement->reach = reach;
    bool crossing = hands_can_cross(judgement);
    for (int limb = 0; limb < PLAYING_LIMBS; limb++) {
        uint8_t role = (uint8_t)limb;
        if (timeline->limbs[role].count < 2)
            continue;
        struct needs needs = needs_of(reach, role);
        if (needs.bounces > 1)
            find_rebounds(reach, &timeline->limbs[role], needs.bounces);
        judge_pairs(judgement, &needs, role, crossing && role <= WEAK_HAND);
        judge_rows(judgement, &needs, role);
    }
    if (timeline->open_hats)
        judge_hats(judgement);
    if (conflicts_possible(judgement))
        conflicts_find(judgement);
}
