/*
 * What keeps time in a row of hand events, and so which hand a player would use for each of them
 * (common practice):
 *
 *     candidates   strokes on cymbals and bells. In a bar without them a drum that most of the
 *                  bar's strokes are on, on every beat, while another is struck at the same time
 *     kept         candidates near each other in time, unless three or more in a row are faster
 *                  than one hand keeps up: those go from hand to hand like any run
 *     answers      one or two strokes between two kept ones are for the free hand
 *     the rest     the hand of its slot: the leading hand has the beats' numbers, runs alternate,
 *                  also past strokes of a foot that take their turn in them
 */
#include "play/hands_int.h"

/* Strokes of a cymbal this far apart stay in one hand, with players who could strike them with
   either (performances of an open data set). Where no tempo is written, this one is assumed. */
enum { ONE_HAND_US = 180000, TEMPO_ASSUMED = 90, FEET_IN_A_ROW = 4 };

struct keeping {
    struct hand_row *row;
    const struct reach *reach;
    voice_id *surfaces; /* by voice: the first voice that is struck in the same place */
    uint32_t *counts;   /* by surface: how many strokes */
    int8_t *candidates; /* by event: which of its voices may keep time; -1: none */
    bool *kept;         /* by event */
    int64_t one_hand, sustained, two_bursts, fast; /* ticks */
};

int64_t hands_ticks(const struct hand_row *row, int64_t us)
{
    enum { MINUTE_US = 60000000 };
    struct fraction tempo = row->tempo.numerator ? row->tempo : fraction_make(TEMPO_ASSUMED, 1);
    struct fraction quarters = fraction_multiply(tempo, fraction_make(us, MINUTE_US));
    struct fraction ticks = fraction_multiply(quarters, fraction_make(-row->quarter, 1));
    return fraction_ok(ticks) ? -fraction_floor(ticks) : INT64_MAX;
}

/* ---- candidates --------------------------------------------------------------------------- */

/* What is played with the tip or the shoulder above the drums: cymbals, bells and blocks, wherever
   a lesson's kit moves them; of its own voices those that hang as high. */
static bool rings(const struct keeping *keeping, voice_id voice)
{
    enum { ABOVE_DRUMS_CM = 20 };
    const struct voice *usual =
        voice < VOICE_BUILTIN_COUNT ? voice_builtin(voice) : &keeping->reach->kit->voices[voice];
    return usual->z_cm >= ABOVE_DRUMS_CM;
}

static voice_id surface_in(const struct keeping *keeping, const struct hand_event *event, int hit)
{
    return keeping->surfaces[event->voices[hit]];
}

static void find_surfaces(struct keeping *keeping)
{
    const struct reach *reach = keeping->reach;
    for (size_t i = 0; i < reach->count; i++) {
        voice_id voice = reach->used[i];
        size_t first = 0;
        while (!same_surface(&reach->kit->voices[reach->used[first]], &reach->kit->voices[voice]))
            first++;
        keeping->surfaces[voice] = reach->used[first];
    }
    for (size_t i = 0; i < keeping->row->count; i++)
        for (int hit = 0; hit < keeping->row->events[i].count; hit++)
            keeping->counts[surface_in(keeping, &keeping->row->events[i], hit)]++;
}

/* When two cymbals are struck at once, prefer the one used more often. */
static int8_t ringing_voice(const struct keeping *keeping, const struct hand_event *event)
{
    int8_t best = -1;
    for (int8_t hit = 0; hit < event->count; hit++)
        if (rings(keeping, event->voices[hit]) &&
            (best < 0 || keeping->counts[surface_in(keeping, event, hit)] >
                             keeping->counts[surface_in(keeping, event, best)]))
            best = hit;
    return best;
}

static int8_t hit_on(const struct keeping *keeping, const struct hand_event *event,
                     voice_id surface)
{
    for (int8_t hit = 0; hit < event->count; hit++)
        if (surface_in(keeping, event, hit) == surface)
            return hit;
    return -1;
}

static bool is_floor_tom(voice_id surface)
{
    return surface == VOICE_FLOOR_TOM || surface == VOICE_SECOND_FLOOR_TOM;
}

/* Whether a drum keeps time in the events [first, end) of one bar. */
static bool drum_keeps_time(const struct keeping *keeping, size_t first, size_t end,
                            voice_id surface)
{
    const struct hand_event *events = keeping->row->events;
    size_t strokes = 0, alone = 0, beats = 0;
    int last = -1;
    for (size_t i = first; i < end; i++) {
        if (hit_on(keeping, &events[i], surface) < 0)
            continue;
        strokes++;
        alone += events[i].count == 1;
        beats += (int)events[i].leaf->beat != last;
        last = events[i].leaf->beat;
    }
    size_t others = end - first - strokes;
    bool struck_with_others = alone < strokes || (is_floor_tom(surface) && others > 0);
    return struck_with_others && alone > 0 && strokes > others &&
           beats == events[first].bar->beat_count;
}

static void find_drum(struct keeping *keeping, size_t first, size_t end)
{
    const struct hand_event *events = keeping->row->events;
    for (size_t i = first; i < end; i++)
        for (int hit = 0; hit < events[i].count; hit++) {
            voice_id surface = surface_in(keeping, &events[i], hit);
            if (!drum_keeps_time(keeping, first, end, surface))
                continue;
            for (size_t k = first; k < end; k++)
                keeping->candidates[k] = hit_on(keeping, &events[k], surface);
            return;
        }
}

static size_t bar_end(const struct hand_row *row, size_t first)
{
    size_t end = first;
    while (end < row->count && row->events[end].bar == row->events[first].bar)
        end++;
    return end;
}

static void find_candidates(struct keeping *keeping)
{
    const struct hand_row *row = keeping->row;
    for (size_t first = 0, end; first < row->count; first = end) {
        size_t ringing = 0;
        end = bar_end(row, first);
        for (size_t i = first; i < end; i++) {
            keeping->candidates[i] = ringing_voice(keeping, &row->events[i]);
            ringing += keeping->candidates[i] >= 0;
        }
        if (ringing < 2 && end - first > 2)
            find_drum(keeping, first, end);
    }
}

/* ---- what is kept ------------------------------------------------------------------------- */

static size_t next_candidate(const struct keeping *keeping, size_t i)
{
    while (i < keeping->row->count && keeping->candidates[i] < 0)
        i++;
    return i;
}

/* Whether time is kept together with something else in a bar: then no other hand is free to help,
   and one hand goes on for as long as it can. */
static bool is_shared_bar(const struct keeping *keeping, size_t at)
{
    const struct hand_event *events = keeping->row->events;
    for (size_t i = at; i < keeping->row->count && events[i].bar == events[at].bar; i++)
        if (keeping->candidates[i] >= 0 && events[i].count == 2)
            return true;
    for (size_t i = at; i-- > 0 && events[i].bar == events[at].bar;)
        if (keeping->candidates[i] >= 0 && events[i].count == 2)
            return true;
    return false;
}

/* The candidates from `first` to `*end` that follow each other too fast for one hand; how many. */
static size_t run_of(const struct keeping *keeping, size_t first, size_t *end)
{
    const struct hand_event *events = keeping->row->events;
    int64_t least = is_shared_bar(keeping, first) ? keeping->sustained : keeping->one_hand;
    size_t count = 1, last = first;
    for (;;) {
        *end = next_candidate(keeping, last + 1);
        if (*end == keeping->row->count || events[*end].tick - events[last].tick >= least)
            return count;
        last = *end;
        count++;
    }
}

static bool is_near(const struct keeping *keeping, size_t a, size_t b)
{
    const struct hand_row *row = keeping->row;
    return b < row->count && row->events[b].tick - row->events[a].tick <= 2 * row->quarter;
}

/* Whether the strokes from `first` to `last` are by themselves: a ride's short pair and the beat
   after it, which one hand plays as long as it can. */
static bool is_burst(const struct keeping *keeping, size_t first, size_t last, size_t count)
{
    const struct hand_event *events = keeping->row->events;
    bool before = first == 0 || events[first].tick - events[first - 1].tick >= keeping->one_hand;
    bool after = last + 1 == keeping->row->count ||
                 events[last + 1].tick - events[last].tick >= keeping->one_hand;
    bool slow = events[last].tick - events[first].tick >= keeping->two_bursts;
    return count == 3 && last - first == 2 && before && after && slow;
}

static void find_kept(struct keeping *keeping)
{
    size_t before = SIZE_MAX, end;
    for (size_t i = next_candidate(keeping, 0); i < keeping->row->count; i = end) {
        size_t count = run_of(keeping, i, &end), last = i;
        for (size_t k = i; k < end; k++)
            if (keeping->candidates[k] >= 0)
                last = k;
        bool one_hand = count < 3 || is_burst(keeping, i, last, count);
        for (size_t k = i; k < end; k++)
            keeping->kept[k] = keeping->candidates[k] >= 0 && one_hand;
        bool near = (before != SIZE_MAX && is_near(keeping, before, i)) ||
                    is_near(keeping, last, end) || count > 1;
        keeping->kept[i] &= near;
        before = last;
    }
}

/* ---- habits ------------------------------------------------------------------------------- */

static void take_habit(struct hand_event *event, enum habit habit, bool wanted)
{
    event->habit = (uint8_t)habit;
    event->wanted = wanted;
}

/* Both hands without a habit of their own: the strong hand has what is further to its side. */
static bool turns_uncrossed(const struct keeping *keeping, const struct hand_event *event)
{
    const struct voice *voices = keeping->reach->kit->voices;
    int first = voices[event->voices[0]].x_cm, second = voices[event->voices[1]].x_cm;
    bool strong_leads = keeping->row->left_leads == keeping->reach->kit->left_handed;
    return strong_leads ? second > first : second < first;
}

/* How many strokes a line has after one event and before the next, of both in the same bar or in
   neighbours; a stroke at the same time as one of them is too many. */
static size_t strokes_between(const struct hand_event *before, const struct hand_event *event,
                              int line)
{
    size_t strokes = 0;
    for (const struct score_bar *bar = before->bar; bar <= event->bar; bar++)
        for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++) {
            const struct leaf *leaf = &bar->lines[line].leaves[i];
            if (!leaf_struck(leaf) || leaf == before->leaf || leaf == event->leaf)
                continue;
            int from = bar == before->bar ? fraction_compare(leaf->onset, before->leaf->onset) : 1;
            int to = bar == event->bar ? fraction_compare(leaf->onset, event->leaf->onset) : -1;
            if (from == 0 || to == 0)
                return SIZE_MAX;
            strokes += from > 0 && to < 0;
        }
    return strokes;
}

/* Whether feet alone strike every slot between two events. */
static bool feet_fill(const struct hand_event *before, const struct hand_event *event,
                      int64_t slots)
{
    size_t feet = strokes_between(before, event, LINE_FEET);
    size_t hands = strokes_between(before, event, LINE_HANDS); /* K and H of a sticking */
    return feet != SIZE_MAX && hands != SIZE_MAX && feet + hands == (size_t)slots - 1;
}

/* Whether it is not the turn of the hand that the slot of events[i] is for, but of the other one:
   where each slot has one stroke, of a hand or a foot, the hands go on in turn past the feet.
   `shifted`: whether it was so for the event before. */
static bool is_shifted(const struct keeping *keeping, size_t i, bool shifted)
{
    const struct hand_event *event = &keeping->row->events[i], *before = event - 1;
    if (i == 0 || !event->slot || event->slot >= keeping->fast)
        return false;
    int64_t gap = event->tick - before->tick, slots = gap / event->slot;
    if (slots == 1 && gap == event->slot)
        return shifted;
    if (slots < 2 || slots > FEET_IN_A_ROW + 1 || gap % event->slot ||
        event->bar - before->bar > 1 || !feet_fill(before, event, slots))
        return false;
    return (before->odd != shifted) == event->odd;
}

static void find_own_habits(const struct keeping *keeping)
{
    bool shifted = false;
    for (size_t i = 0; i < keeping->row->count; i++) {
        struct hand_event *event = &keeping->row->events[i];
        shifted = is_shifted(keeping, i, shifted);
        if (keeping->kept[i])
            take_habit(event, HABIT_TIME, keeping->candidates[i] == 1);
        else if (event->count == 1)
            take_habit(event, HABIT_BEAT, event->odd != shifted);
        else
            take_habit(event, HABIT_BEAT, turns_uncrossed(keeping, event));
    }
}

/* Whether the events between two kept ones, or before the first or after the last of them, are an
   answer of the free hand: one, or a pair on one surface. */
static bool is_answer(const struct keeping *keeping, size_t first, size_t end)
{
    const struct hand_row *row = keeping->row;
    const struct hand_event *events = row->events;
    bool begins = first == 0, ends = end == row->count;
    if (end - first < 1 || end - first > 2 || (begins && ends))
        return false;
    for (size_t i = first; i < end; i++)
        if (events[i].count == 2 || keeping->candidates[i] >= 0)
            return false;
    int64_t from = begins ? events[first].tick : events[first - 1].tick;
    int64_t time = (ends ? events[end - 1].tick : events[end].tick) - from;
    if (end - first == 1)
        return time <= (begins || ends ? row->quarter : 2 * row->quarter);
    if (ends) /* as if one more stroke followed at the same distance */
        time += events[end - 1].tick - events[first].tick;
    return !begins && time <= row->quarter &&
           surface_in(keeping, &events[first], 0) == surface_in(keeping, &events[first + 1], 0);
}

static void find_answers(const struct keeping *keeping)
{
    size_t count = keeping->row->count;
    for (size_t first = 0, end; first <= count; first = end + 1) {
        for (end = first; end < count && !keeping->kept[end];)
            end++;
        if (is_answer(keeping, first, end))
            for (size_t i = first; i < end; i++)
                take_habit(&keeping->row->events[i], HABIT_FREE, true);
    }
}

void hands_find_habits(struct hand_row *row, const struct reach *reach)
{
    struct arena *arena = arena_new();
    const int32_t *values = reach->limits->values;
    size_t voices = reach->kit->voice_count;
    struct keeping keeping = {.row = row,
                              .reach = reach,
                              .surfaces = arena_array(arena, voices, sizeof(voice_id)),
                              .counts = arena_array(arena, voices, sizeof(uint32_t)),
                              .candidates = arena_array(arena, row->count + 1, sizeof(int8_t)),
                              .kept = arena_array(arena, row->count + 1, sizeof(bool))};
    keeping.sustained = hands_ticks(row, values[LIMIT_HAND_SUSTAINED]);
    keeping.one_hand = hands_ticks(row, ONE_HAND_US);
    keeping.two_bursts = hands_ticks(row, 2 * (int64_t)values[LIMIT_HAND_BURST]);
    keeping.fast = hands_ticks(row, HANDS_FAST_US);
    if (keeping.one_hand < keeping.sustained)
        keeping.one_hand = keeping.sustained;
    find_surfaces(&keeping);
    find_candidates(&keeping);
    find_kept(&keeping);
    find_own_habits(&keeping);
    find_answers(&keeping);
    arena_free(arena);
}
