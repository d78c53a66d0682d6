/*
 * How fast an exercise can be played: the table of constraints of ratamark(1), PLAYABILITY.
 *
 *     for each limb
 *         what its strokes need, by the level        limb_needs()
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

/* ---- weighing ----------------------------------------------------------------------------- */

static void take_limit(struct judgement *judgement, const struct stretch *stretch, int64_t ticks,
                       int64_t us)
{
    judgement->limit = judgement_move(judgement, stretch);
    judgement->limit_ticks = ticks;
    judgement->limit_us = us;
    judgement->limit_tick = stretch->to->tick;
    judgement->limit_from = stretch->from->bar;
    judgement->limit_to = stretch->to->bar;
}

/* The earliest of equal limits counts, then that of the limb that is looked at first. */
static inline void limit_by(struct judgement *judgement, const struct stretch *stretch,
                            int64_t ticks, int64_t us)
{
    if (judgement->groups)
        judgement_add_group(judgement, stretch, ticks, us);
    if (judgement->limit.note) {
        int order = ratio_compare(ticks, us, judgement->limit_ticks, judgement->limit_us);
        if (order > 0 || (order == 0 && stretch->to->tick >= judgement->limit_tick))
            return;
    }
    take_limit(judgement, stretch, ticks, us);
}

static inline void weigh(struct judgement *judgement, struct stretch stretch)
{
    if (!stretch_takes_time(&stretch))
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
    if (!stretch_takes_time(&stretch))
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

/* ---- rebounds ----------------------------------------------------------------------------- */

/* Whether blows [i, i + size) are one driven stroke and its rebounds: no slower than eighths, as
   even as the level asks for, and as far from what comes before and after. */
static bool is_group(const struct reach *reach, const blow_row *row, int64_t eighth, size_t i,
                     size_t size)
{
    const struct blow *at = row->items + i;
    int64_t evenness = reach->limits->values[LIMIT_EVENNESS];
    int64_t shortest = INT64_MAX, longest = 0;
    for (size_t k = 1; k < size; k++) {
        int64_t gap = at[k].tick - at[k - 1].tick;
        if (!blow_may_rebound(reach, at, &at[k]))
            return false;
        shortest = gap < shortest ? gap : shortest;
        longest = gap > longest ? gap : longest;
    }
    if (shortest <= 0 || longest > eighth || 100 * longest > evenness * shortest)
        return false;
    if (i > 0 && 100 * (at[0].tick - at[-1].tick) < evenness * longest)
        return false;
    return i + size == row->count ||
           100 * (at[size].tick - at[size - 1].tick) >= evenness * longest;
}

static void find_rebounds(const struct reach *reach, blow_row *row, int64_t eighth, int most)
{
    for (size_t i = 0; i + 1 < row->count;) {
        size_t step = 1;
        bool starts = !(row->items[i].flags & (BLOW_GRACE | BLOW_BUZZ));
        for (size_t size = 2; starts && size <= (size_t)most && i + size <= row->count; size++)
            if (is_group(reach, row, eighth, i, size)) {
                for (size_t k = 1; k < size; k++)
                    row->items[i + k].flags |= BLOW_REBOUND;
                step = size;
                break;
            }
        i += step;
    }
}

/* ---- one limb ----------------------------------------------------------------------------- */

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
        if (!blow_is_gesture(from, to)) {
            struct stretch stretch =
                stretch_between(judgement->reach, needs, from, to, to->flags & BLOW_REBOUND);
            weigh(judgement, stretch);
            int64_t nearest = gap < before ? gap : before;
            if (stretch.kind == MOVE_TRAVEL && nearest != INT64_MAX)
                weigh_crossed(judgement, stretch, nearest);
        }
        if (gap <= judgement->timeline->quarter && !judgement->crossed)
            judgement->crossed = to->note;
        before = gap;
    }
}

/* Rows that take more ticks than these say nothing new. */
struct row_bounds {
    int64_t ticks[LIMIT_STROKES_MOST + 1]; /* by strokes */
    int64_t limit_ticks, limit_us;         /* what they were made for */
};

/* The most ticks that last no longer than `us` where `ticks` last `lasting`. */
static int64_t ticks_within(int64_t us, int64_t ticks, int64_t lasting)
{
    int64_t product;
    return __builtin_mul_overflow(us, ticks, &product) ? INT64_MAX : product / lasting;
}

/* At the limit so far, or at the tempo that is asked about. */
static void find_bounds(const struct judgement *judgement, const struct needs *needs,
                        struct row_bounds *bounds)
{
    enum { MINUTE_US = 60000000 };
    struct fraction tempo = judgement->tempo;
    bool none = judgement->groups || (!tempo.denominator && !judgement->limit.note);
    bounds->limit_ticks = judgement->limit_ticks;
    bounds->limit_us = judgement->limit_us;
    for (int strokes = 3; strokes <= needs->strokes; strokes++) {
        int64_t us = needs->rows[strokes];
        bounds->ticks[strokes] =
            none                ? INT64_MAX
            : tempo.denominator ? ticks_within(us * tempo.numerator, judgement->timeline->quarter,
                                               MINUTE_US * tempo.denominator)
                                : ticks_within(us, judgement->limit_ticks, judgement->limit_us);
    }
}

static void judge_row(struct judgement *judgement, const struct needs *needs, uint8_t role,
                      const struct blow *first, const struct blow *last, size_t strokes)
{
    weigh(judgement, (struct stretch){.from = first,
                                      .to = last,
                                      .kind = MOVE_SUSTAIN,
                                      .role = role,
                                      .strokes = (uint16_t)strokes,
                                      .ticks = last->tick - first->tick,
                                      .takes_us = needs->rows[strokes]});
}

/* Any 3 to `strokes` driven blows in a row. A gesture counts once, from its first blow. */
static void judge_rows(struct judgement *judgement, const struct needs *needs, uint8_t role)
{
    const blow_row *row = &judgement->timeline->limbs[role];
    const struct blow *driven[LIMIT_STROKES_MOST]; /* the latest ones, as a ring */
    size_t count = 0, most = (size_t)needs->strokes;
    struct row_bounds bounds;
    find_bounds(judgement, needs, &bounds);
    for (size_t i = 0; i < row->count; i++) {
        const struct blow *blow = &row->items[i];
        if ((blow->flags & BLOW_REBOUND) || (i > 0 && blow_is_gesture(blow - 1, blow)))
            continue;
        driven[count++ % LIMIT_STROKES_MOST] = blow;
        for (size_t strokes = 3; strokes <= most && strokes <= count; strokes++) {
            const struct blow *first = driven[(count - strokes) % LIMIT_STROKES_MOST];
            if (blow->tick - first->tick <= bounds.ticks[strokes] || first->early_us ||
                blow->early_us)
                judge_row(judgement, needs, role, first, blow, strokes);
        }
        if (judgement->limit_ticks != bounds.limit_ticks || judgement->limit_us != bounds.limit_us)
            find_bounds(judgement, needs, &bounds);
    }
}

/* ---- the hi-hat -------------------------------------------------------------------------- */

static void take_shortened(struct judgement *judgement, const struct blow *foot, int64_t ticks)
{
    if (ticks <= 0 || (judgement->shortens && judgement->shortens_ticks <= ticks))
        return;
    judgement->shortens = foot->note;
    judgement->shortens_ticks = ticks;
}

static void judge_hats(struct judgement *judgement)
{
    size_t at[PLAYING_LIMBS] = {0};
    const struct blow *open = NULL, *blow;
    while ((blow = next_blow(judgement->timeline, at))) {
        if (opens_hats(judgement, blow)) {
            open = blow;
        } else if (closes_hats(judgement, blow)) {
            bool struck = blow->role != HAT_FOOT; /* the foot may close them as soon as it likes */
            if (open && !struck)
                take_shortened(judgement, blow, blow->tick - open->tick);
            if (open && struck && blow->tick > open->tick)
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
        struct needs needs = limb_needs(reach, role);
        if (needs.bounces > 1)
            find_rebounds(reach, &timeline->limbs[role], timeline->quarter / 2, needs.bounces);
        judge_pairs(judgement, &needs, role, crossing && role <= WEAK_HAND);
        judge_rows(judgement, &needs, role);
    }
    if (timeline->open_hats)
        judge_hats(judgement);
    if (conflicts_possible(judgement))
        conflicts_find(judgement);
}
