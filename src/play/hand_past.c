/* Trying hands out (hand_past.h). */
#include "play/hand_past.h"

#include <stddef.h>
#include <string.h>

/* ---- blows -------------------------------------------------------------------------------- */

static bool is_short(const struct trial *trial, int64_t ticks, int64_t us)
{
    int order = ratio_compare(ticks, us, trial->pace.ticks, trial->pace.us);
    return order < 0 || (order == 0 && trial->pace.faster);
}

/* The fewest ticks that are enough for a stretch that takes `us`. */
static int64_t enough_ticks(const struct trial *trial, int64_t us)
{
    int64_t product, floor;
    if (!__builtin_mul_overflow(us, trial->pace.ticks, &product)) {
        floor = product / trial->pace.us;
    } else {
        struct fraction ticks = fraction_multiply(fraction_make(us, trial->pace.us),
                                                  fraction_make(trial->pace.ticks, 1));
        if (!fraction_ok(ticks))
            return INT64_MAX / 2;
        floor = fraction_floor(ticks);
    }
    return floor + is_short(trial, floor, us);
}

/* The blows of a note without grace notes and slashes: one a hand. */
static void take_plain(struct trial *trial, size_t at, bool turned)
{
    const struct hand_event *event = &trial->row->events[at];
    struct strike *strike = &trial->strikes[at][turned];
    strike->count[0] = strike->count[1] = 0;
    for (int hit = 0, seen = 0; hit < event->note->hit_count && seen < event->count; hit++) {
        if (event->note->hits[hit].voice != event->voices[seen])
            continue;
        bool other = (seen == 1) != turned;
        uint8_t limb = other != trial->row->left_leads ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
        uint8_t role = role_of_limb(limb, trial->reach->kit->left_handed);
        strike->first[role] = (uint32_t)trial->blows.count;
        strike->count[role] = 1;
        *vector_push(&trial->blows, NULL) = (struct blow){.tick = event->tick,
                                                          .voice = event->voices[seen++],
                                                          .role = role,
                                                          .flags = blow_flags(event->note, hit),
                                                          .bar = (uint32_t)at,
                                                          .note = event->note};
    }
}

static void take_strike(struct trial *trial, struct timeline *scratch, size_t at, bool turned)
{
    struct hand_event *event = &trial->row->events[at];
    struct strike *strike = &trial->strikes[at][turned];
    if (!event->note->grace_count && !(event->note->marks & MARKS_DIVIDING)) {
        take_plain(trial, at, turned);
        return;
    }
    bool chosen = event->turned;
    event->turned = turned;
    hands_note_event(trial->row, event);
    timeline_strike(scratch, trial->reach, event->leaf, event->tick, event->length);
    event->turned = chosen;
    for (int role = 0; role < 2; role++) {
        const blow_row *row = &scratch->limbs[role];
        strike->first[role] = (uint32_t)trial->blows.count;
        strike->count[role] = (uint8_t)row->count;
        for (size_t i = 0; i < row->count; i++) {
            struct blow *blow = vector_push(&trial->blows, NULL);
            *blow = row->items[i];
            blow->bar = (uint32_t)at; /* here: its event */
            trial->graced |= blow->early_us != 0 || row->count > 1;
            if (blow->early_us > trial->early_most)
                trial->early_most = blow->early_us;
        }
    }
}

/* The row's voices get numbers of their own. */
static void number_voices(struct trial *trial)
{
    enum { UNKNOWN = 0xFF };
    const struct reach *reach = trial->reach;
    trial->numbers = memory_alloc(reach->count + 1);
    memset(trial->numbers, UNKNOWN, reach->count + 1);
    for (size_t i = 0; i < trial->row->count; i++)
        for (int hit = 0; hit < trial->row->events[i].count; hit++) {
            uint8_t *number = &trial->numbers[reach->index[trial->row->events[i].voices[hit]]];
            if (*number == UNKNOWN)
                *number = (uint8_t)trial->voice_count++;
        }
    size_t pairs = trial->voice_count * trial->voice_count;
    trial->pair_ticks[0] = memory_alloc((2 * pairs + 1) * sizeof *trial->pair_ticks[0]);
    trial->pair_ticks[1] = trial->pair_ticks[0] + pairs;
}

static size_t pair_of(const struct trial *trial, voice_id a, voice_id b)
{
    const uint8_t *index = trial->reach->index;
    return trial->numbers[index[a]] * trial->voice_count + trial->numbers[index[b]];
}

void trial_begin(struct trial *trial, const struct hand_row *row, const struct reach *reach)
{
    struct timeline scratch = {.quarter = 0};
    size_t count = row->count + row->repeated;
    *trial = (struct trial){.row = row, .reach = reach};
    trial->strikes = memory_alloc((count + 1) * sizeof *trial->strikes);
    vector_reserve(&trial->blows, 4 * count + 1, NULL);
    for (size_t i = 0; i < count; i++)
        for (int turned = 0; turned < 2; turned++)
            take_strike(trial, &scratch, i, turned);
    for (uint8_t role = 0; role < 2; role++)
        trial->needs[role] = limb_needs(reach, role);
    number_voices(trial);
    timeline_release(&scratch);
}

void trial_end(struct trial *trial)
{
    memory_free(trial->strikes);
    memory_free(trial->numbers);
    memory_free(trial->pair_ticks[0]);
    vector_release(&trial->blows);
}

static int64_t longest_move(const struct reach *reach)
{
    int64_t longest = reach->limits->values[LIMIT_HAND_BURST];
    for (size_t i = 0; i < reach->count * reach->count; i++)
        if (reach->hand_us[i] > longest)
            longest = reach->hand_us[i];
    return longest * reach->limits->values[LIMIT_WEAK_HAND] / 100;
}

static void set_needs(struct trial *trial, int role)
{
    const struct needs *needs = &trial->needs[role];
    int64_t *ticks = trial->row_ticks[role];
    trial->bounce_ticks[role] = enough_ticks(trial, needs->rebound);
    trial->row_step[role] = 0;
    for (int strokes = 3; strokes <= needs->strokes; strokes++) {
        ticks[strokes] = enough_ticks(trial, needs->rows[strokes]);
        if (strokes > 3 && ticks[strokes] - ticks[strokes - 1] > trial->row_step[role])
            trial->row_step[role] = ticks[strokes] - ticks[strokes - 1];
    }
}

/* Ticks that are enough between strokes where they are not many in a row, and as many again as
   rebounds need before and after them. */
static int64_t apart(const struct trial *trial)
{
    const struct needs *needs = &trial->needs[WEAK_HAND];
    /* a stroke more in a row takes at most that much more */
    int64_t most = needs->sustained > needs->burst ? 2 * (int64_t)needs->sustained - needs->burst
                                                   : needs->burst;
    most += needs->prepare + trial->early_most;
    return enough_ticks(trial, most * trial->reach->limits->values[LIMIT_EVENNESS] / 100);
}

void trial_set(struct trial *trial, struct pace pace, size_t begin, size_t end)
{
    const struct needs *needs = &trial->needs[WEAK_HAND];
    bool known = trial->pace.us == pace.us && trial->pace.ticks == pace.ticks &&
                 trial->pace.faster == pace.faster;
    trial->begin = begin;
    trial->end = end;
    if (known)
        return;
    trial->pace = pace;
    set_needs(trial, STRONG_HAND);
    set_needs(trial, WEAK_HAND);
    size_t pairs = trial->voice_count * trial->voice_count;
    memset(trial->pair_ticks[0], 0, 2 * pairs * sizeof *trial->pair_ticks[0]);
    trial->cross = enough_ticks(trial, CROSS_WINDOW_US);
    int64_t enough = apart(trial);
    /* strokes further apart than eighths are no rebounds */
    int64_t even =
        (trial->reach->limits->values[LIMIT_EVENNESS] * (trial->row->quarter / 2) + 99) / 100;
    trial->cap = even < enough ? even : enough;
    trial->rest =
        enough_ticks(trial, longest_move(trial->reach) + trial->reach->limits->values[LIMIT_CROSS] +
                                needs->prepare + trial->early_most + CROSS_WINDOW_US);
    if (trial->rest < enough)
        trial->rest = enough;
}

/* ---- labels ------------------------------------------------------------------------------- */

static size_t past_size(const struct past *past)
{
    return offsetof(struct past, rows) + past->driven * sizeof *past->rows;
}

void label_copy(struct label *to, const struct label *from)
{
    memcpy(to, from, offsetof(struct label, pasts));
    memcpy(&to->pasts[0], &from->pasts[0], past_size(&from->pasts[0]));
    memcpy(&to->pasts[1], &from->pasts[1], past_size(&from->pasts[1]));
}

static uint64_t mix(uint64_t hash, uint64_t value)
{
    hash = (hash ^ value) * 0x9E3779B97F4A7C15u;
    return hash ^ hash >> 29;
}

static uint64_t digest_past(uint64_t hash, const struct past *past)
{
    hash = mix(hash, (uint64_t)past->gap ^ (uint64_t)past->crossed << 48);
    for (unsigned i = 0; i < past->waiting; i++)
        hash = mix(hash, past->queue[i]);
    for (unsigned i = 1; i < past->driven; i++)
        hash = mix(hash, past->rows[i]);
    return mix(hash, past->waiting * 64u + past->driven);
}

uint64_t label_digest(const struct label *label)
{
    return digest_past(digest_past(0, &label->pasts[0]), &label->pasts[1]);
}

static bool same_past(const struct past *a, const struct past *b)
{
    return a->waiting == b->waiting && a->driven == b->driven && a->gap == b->gap &&
           a->crossed == b->crossed &&
           memcmp(a->queue, b->queue, a->waiting * sizeof *a->queue) == 0 &&
           memcmp(a->rows, b->rows, a->driven * sizeof *a->rows) == 0;
}

bool label_same_pasts(const struct label *a, const struct label *b)
{
    return same_past(&a->pasts[0], &b->pasts[0]) && same_past(&a->pasts[1], &b->pasts[1]);
}

static void rest_hand(const struct trial *trial, struct past *past)
{
    past->gap = trial->cap;
    past->crossed = 0;
    past->waiting = past->driven = 0;
}

void trial_start(const struct trial *trial, struct label *label)
{
    memset(label, 0, offsetof(struct label, pasts));
    rest_hand(trial, &label->pasts[0]);
    rest_hand(trial, &label->pasts[1]);
}

/* ---- judging ------------------------------------------------------------------------------ */

static const struct blow *blow_of(const struct trial *trial, uint32_t number)
{
    return &trial->blows.items[number];
}

static bool fails(const struct trial *trial, struct stretch stretch)
{
    return stretch_takes_time(&stretch) && is_short(trial, stretch.ticks, stretch.takes_us);
}

/* After grace strokes, ghosts and crossed arms. */
static bool special_pair_fails(const struct trial *trial, const struct blow *from,
                               const struct blow *to, bool crossed, bool rebound)
{
    if (blow_is_gesture(from, to))
        return false;
    struct stretch stretch =
        stretch_between(trial->reach, &trial->needs[to->role], from, to, rebound);
    if (fails(trial, stretch))
        return true;
    if (!crossed || stretch.kind != MOVE_TRAVEL)
        return false;
    stretch.takes_us += trial->reach->limits->values[LIMIT_CROSS];
    return fails(trial, stretch);
}

/* From a plain stroke to the next, no rebound. */
static int64_t pair_ticks(const struct trial *trial, const struct blow *from, const struct blow *to)
{
    int64_t *ticks = &trial->pair_ticks[to->role][pair_of(trial, from->voice, to->voice)];
    if (!*ticks)
        *ticks = enough_ticks(
            trial,
            stretch_between(trial->reach, &trial->needs[to->role], from, to, false).takes_us);
    return *ticks;
}

static bool pair_fails(const struct trial *trial, const struct blow *from, const struct blow *to,
                       bool crossed, bool rebound)
{
    if (trial->graced || crossed || ((from->flags & BLOW_GHOST) && (to->flags & BLOW_ACCENT)))
        return special_pair_fails(trial, from, to, crossed, rebound);
    return to->tick - from->tick <
           (rebound ? trial->bounce_ticks[to->role] : pair_ticks(trial, from, to));
}

static bool graced_rows_fail(const struct trial *trial, const struct past *past)
{
    const struct blow *to = blow_of(trial, past->rows[0]);
    const struct needs *needs = &trial->needs[to->role];
    for (int strokes = 3; strokes <= needs->strokes && strokes <= past->driven; strokes++) {
        const struct blow *from = blow_of(trial, past->rows[strokes - 1]);
        if (fails(trial, (struct stretch){.from = from,
                                          .to = to,
                                          .ticks = to->tick - from->tick,
                                          .takes_us = needs->rows[strokes]}))
            return true;
    }
    return false;
}

/* `kept`: the rows up to the stroke before this one are slow enough. Then a longer one is, too, if
   this stroke comes late enough after that one. */
static bool rows_fail(const struct trial *trial, const struct past *past, bool kept)
{
    if (past->driven < 3)
        return false;
    if (trial->graced)
        return graced_rows_fail(trial, past);
    const struct blow *to = blow_of(trial, past->rows[0]);
    const int64_t *ticks = trial->row_ticks[to->role];
    int most = trial->needs[to->role].strokes;
    most = most < past->driven ? most : past->driven;
    if (kept && to->tick - blow_of(trial, past->rows[1])->tick >= trial->row_step[to->role])
        most = 3;
    for (int strokes = 3; strokes <= most; strokes++)
        if (to->tick - blow_of(trial, past->rows[strokes - 1])->tick < ticks[strokes])
            return true;
    return false;
}

/* Whether it is a stroke of a repeat that broke a limit before. */
static bool broke_before(const struct trial *trial, struct label *label, const struct blow *blow)
{
    const struct hand_row *row = trial->row;
    size_t number = hands_written(row, blow->bar) - row->again;
    if (!trial->again_once || hands_written(row, blow->bar) < row->again || number >= HEAD_MOST)
        return false;
    uint64_t bit = (uint64_t)1 << (2 * number + blow->role);
    if (blow->bar < row->count)
        label->broken |= bit;
    return blow->bar >= row->count && (label->broken & bit);
}

static void break_limit(const struct trial *trial, struct label *label, const struct blow *blow)
{
    if (broke_before(trial, label, blow))
        return;
    label->breaks++;
    label->early += trial->end - blow->bar;
}

/* queue[0] is driven: from `before` on, and in a row of such strokes. */
static void judge_driven(const struct trial *trial, struct label *label, struct past *past,
                         const struct blow *before, bool crossed)
{
    const struct blow *blow = blow_of(trial, past->queue[0]);
    bool failed = before && pair_fails(trial, before, blow, crossed, false);
    if (!before || !blow_is_gesture(before, blow)) {
        int most = trial->needs[blow->role].strokes;
        if (past->driven < most)
            past->driven++;
        memmove(past->rows + 1, past->rows, (past->driven - 1u) * sizeof *past->rows);
        past->rows[0] = past->queue[0];
        failed = failed || rows_fail(trial, past, !label->breaks);
    }
    if (failed)
        break_limit(trial, label, blow);
}

/* The blows [0, size) of the queue are a driven stroke and its rebounds. */
static void settle(const struct trial *trial, struct label *label, struct past *past, unsigned size)
{
    for (unsigned i = 1; i < size; i++) {
        const struct blow *blow = blow_of(trial, past->queue[i]);
        if (pair_fails(trial, blow_of(trial, past->queue[i - 1]), blow,
                       past->crossed >> (i - 1) & 3, true))
            break_limit(trial, label, blow);
    }
    const struct blow *before = blow_of(trial, past->queue[size - 1]);
    bool crossed = past->crossed >> (size - 1) & 3;
    past->waiting = (uint8_t)(past->waiting - size);
    past->crossed = (uint16_t)(past->crossed >> size);
    memmove(past->queue, past->queue + size, past->waiting * sizeof *past->queue);
    if (!past->waiting)
        return;
    past->gap = blow_of(trial, past->queue[0])->tick - before->tick;
    if (past->gap > trial->cap)
        past->gap = trial->cap;
    judge_driven(trial, label, past, before, crossed);
}

/* How many of the queue's first blows belong together, as judge.c finds it; 0: not known yet. */
static unsigned settled_size(const struct trial *trial, const struct past *past)
{
    const struct blow *first = blow_of(trial, past->queue[0]), *before = first;
    const struct needs *needs = &trial->needs[first->role];
    int64_t evenness = trial->reach->limits->values[LIMIT_EVENNESS];
    int64_t shortest = INT64_MAX, longest = 0;
    if (needs->bounces < 2 || (first->flags & (BLOW_GRACE | BLOW_BUZZ)))
        return past->waiting > 1;
    for (unsigned size = 2; size <= (unsigned)needs->bounces; size++) {
        if (size > past->waiting)
            return 0;
        const struct blow *last = blow_of(trial, past->queue[size - 1]);
        int64_t gap = last->tick - before->tick;
        before = last;
        shortest = gap < shortest ? gap : shortest;
        longest = gap > longest ? gap : longest;
        if (!blow_may_rebound(trial->reach, first, last) || shortest <= 0 ||
            longest > trial->row->quarter / 2 || 100 * longest > evenness * shortest ||
            (past->gap < trial->cap && 100 * past->gap < evenness * longest))
            return 1;
        if (size == past->waiting)
            return 0;
        if (100 * (blow_of(trial, past->queue[size])->tick - last->tick) >= evenness * longest)
            return size;
    }
    return 1;
}

static void settle_all(const struct trial *trial, struct label *label, struct past *past)
{
    unsigned size;
    while (past->waiting > 1 && (size = settled_size(trial, past)))
        settle(trial, label, past, size);
}

/* Nothing follows, or not for long: blows that could be rebounds count as rebounds. */
static void settle_end(const struct trial *trial, struct label *label, struct past *past)
{
    while (past->waiting > 1) {
        unsigned size = settled_size(trial, past);
        settle(trial, label, past, size ? size : past->waiting);
    }
}

static void push_blow(const struct trial *trial, struct label *label, uint32_t blow, bool crossed)
{
    struct past *past = &label->pasts[blow_of(trial, blow)->role];
    past->crossed |= (uint16_t)(crossed << past->waiting);
    past->queue[past->waiting++] = blow;
    if (past->waiting == 1) {
        past->gap = trial->cap;
        judge_driven(trial, label, past, NULL, false);
    }
    settle_all(trial, label, past);
}

/* Whether the other hand's last blow, now or before, is in this one's way. */
static bool finds_arm(const struct trial *trial, const struct strike *strike,
                      const struct blow *last, const struct blow *blow)
{
    uint8_t other = !blow->role;
    for (unsigned i = 0; i < strike->count[other]; i++) {
        const struct blow *now = &trial->blows.items[strike->first[other] + i];
        if (now->tick <= blow->tick)
            last = now;
    }
    if (!last || blow->tick - last->tick >= trial->cross)
        return false;
    bool strong = blow->role == STRONG_HAND;
    return strong ? reach_crosses(trial->reach, blow->voice, last->voice)
                  : reach_crosses(trial->reach, last->voice, blow->voice);
}

void trial_push(const struct trial *trial, struct label *label, size_t at, bool turned)
{
    const struct strike *strike = &trial->strikes[at][turned];
    const struct blow *last[2] = {NULL, NULL};
    for (int role = 0; role < 2 && trial->reach->crossing; role++) {
        const struct past *past = &label->pasts[role];
        last[role] = past->waiting ? blow_of(trial, past->queue[past->waiting - 1]) : NULL;
    }
    for (int role = 0; role < 2; role++)
        for (unsigned i = 0; i < strike->count[role]; i++) {
            uint32_t blow = strike->first[role] + i;
            push_blow(trial, label, blow,
                      trial->reach->crossing &&
                          finds_arm(trial, strike, last[!role], blow_of(trial, blow)));
        }
}

void trial_close(const struct trial *trial, struct label *label)
{
    settle_end(trial, label, &label->pasts[0]);
    settle_end(trial, label, &label->pasts[1]);
}

/* ---- forgetting --------------------------------------------------------------------------- */

/* When a hand can strike next, if it also had to `number` times before that: first the blows that
   wait, if they are no rebounds, then an event each. INT64_MAX: not any more. */
static int64_t next_tick(const struct trial *trial, const struct past *past, size_t next,
                         size_t number)
{
    if (number + 1 < past->waiting)
        return blow_of(trial, past->queue[number + 1])->tick;
    size_t at = past->waiting > 1 ? next + number + 1 - past->waiting : next + number;
    return at < trial->end ? trial->row->events[at].tick : INT64_MAX;
}

/* Whether a row of strokes that begins at a driven blow, the `number`-th latest, can still be too
   fast. */
static bool can_matter(const struct trial *trial, const struct past *past, size_t next,
                       unsigned number)
{
    const struct blow *blow = blow_of(trial, past->rows[number]);
    const struct needs *needs = &trial->needs[blow->role];
    const int64_t *ticks = trial->row_ticks[blow->role];
    unsigned most = (unsigned)needs->strokes, least = number < 1 ? 3 : number + 2;
    int64_t first = next_tick(trial, past, next, 0) - blow->tick;
    if (trial->graced)
        return most >= least && is_short(trial, first, needs->rows[most] + trial->early_most);
    if (first >= ticks[most])
        return false;
    for (unsigned strokes = least; strokes <= most; strokes++)
        if (next_tick(trial, past, next, strokes - number - 2) - blow->tick < ticks[strokes])
            return true;
    return false;
}

static void forget(const struct trial *trial, struct label *label, struct past *past, size_t next)
{
    if (!past->waiting)
        return;
    int64_t last = blow_of(trial, past->queue[past->waiting - 1])->tick;
    bool rested = trial->row->events[next].tick - last >= trial->rest;
    if (rested)
        settle_end(trial, label, past);
    unsigned matter = past->driven;
    while (matter && !can_matter(trial, past, next, matter - 1))
        matter--;
    past->driven = (uint8_t)matter;
    if (rested && !matter)
        rest_hand(trial, past);
}

void trial_forget(const struct trial *trial, struct label *label, size_t next)
{
    forget(trial, label, &label->pasts[0], next);
    forget(trial, label, &label->pasts[1], next);
}

/* ---- for the judge ------------------------------------------------------------------------ */

static void take_blow(const struct trial *trial, struct timeline *timeline, struct blow blow)
{
    blow_row *row = &timeline->limbs[blow.role];
    timeline->voices[blow.role] |= (uint64_t)1 << (trial->reach->index[blow.voice] & 63);
    struct blow *to = vector_push(row, NULL);
    for (; to > row->items && to[-1].tick > blow.tick; to--)
        *to = to[-1]; /* a roll lasts into the next stroke */
    *to = blow;
}

void trial_blows(const struct trial *trial, struct timeline *timeline)
{
    const struct hand_row *row = trial->row;
    timeline->quarter = row->quarter;
    timeline->bars.count = 0;
    for (int role = 0; role < 2; role++) {
        timeline->limbs[role].count = 0;
        timeline->voices[role] = 0;
    }
    for (size_t i = 0; i < row->count + row->repeated; i++) {
        const struct hand_event *event = &row->events[i];
        const struct strike *strike = trial->strikes[i];
        strike += row->events[hands_written(row, i)].turned;
        *vector_push(&timeline->bars, NULL) = (struct timeline_bar){event->bar, event->tick};
        for (int role = 0; role < 2; role++)
            for (unsigned k = 0; k < strike->count[role]; k++)
                take_blow(trial, timeline, *blow_of(trial, strike->first[role] + k));
    }
}
