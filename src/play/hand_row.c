/* The events of the hands in their order, and whose turn each is on the grid. */
#include "model/swing.h"
#include "play/hands.h"
#include "play/play_int.h"

#include <string.h>

static bool is_power_of_two(int64_t number)
{
    return (number & (number - 1)) == 0;
}

/* ---- grids -------------------------------------------------------------------------------- */

/* The finest grids that an exercise uses, in slots a beat: of 2, 4, 8 ..., and of 3, 6, 12 ... */
struct grids {
    int64_t twos, threes;
    int64_t *beats; /* of all bars, in order: the fewest slots on which the beat's strokes fall */
    struct fraction *parts; /* of all leaves, in order: part_of_beat() of those that are struck */
};

/* How far into its beat a leaf begins, as a part of the beat. */
static struct fraction part_of_beat(const struct score_bar *bar, const struct leaf *leaf)
{
    const struct score_beat *beat = &bar->beats[leaf->beat];
    if (fraction_equal(leaf->onset, beat->start))
        return FRACTION_ZERO;
    return fraction_divide(fraction_subtract(leaf->onset, beat->start), beat->length);
}

/* Sets the slots of each beat of a bar, 0 for too many, and the parts of its leaves. */
static void find_beats(const struct score_bar *bar, int64_t *beats, struct fraction *parts)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    for (uint16_t beat = 0; beat < bar->beat_count; beat++)
        beats[beat] = 1;
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (!leaf_struck(leaf))
            continue;
        struct fraction part = parts[i] = part_of_beat(bar, leaf);
        if (beats[leaf->beat])
            beats[leaf->beat] =
                part.denominator ? least_common_multiple(beats[leaf->beat], part.denominator) : 0;
    }
}

static bool is_threes(int64_t slots)
{
    return slots % 3 == 0 && is_power_of_two(slots / 3);
}

static struct grids find_grids(const struct score_exercise *exercise, struct arena *arena)
{
    struct grids grids = {.twos = 1};
    size_t beats = 0, leaves = 0;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        beats += exercise->bars[b].beat_count;
        leaves += exercise->bars[b].lines[LINE_HANDS].leaf_count;
    }
    grids.beats = arena_array(arena, beats, sizeof *grids.beats);
    grids.parts = arena_array(arena, leaves, sizeof *grids.parts);
    int64_t *slots = grids.beats;
    struct fraction *parts = grids.parts;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        find_beats(&exercise->bars[b], slots, parts);
        parts += exercise->bars[b].lines[LINE_HANDS].leaf_count;
        for (uint16_t beat = 0; beat < exercise->bars[b].beat_count; beat++, slots++) {
            if (*slots && is_power_of_two(*slots) && *slots > grids.twos)
                grids.twos = *slots;
            if (*slots && is_threes(*slots) && *slots > grids.threes)
                grids.threes = *slots;
        }
    }
    return grids;
}

/* A beat is counted on the finest grid of its kind that the exercise uses. */
static int64_t grid_slots(const struct grids *grids, const struct score_beat *beat, int64_t slots)
{
    if (slots > 1 && is_threes(slots))
        return grids->threes;
    bool one = slots <= 1; /* one stroke on the beat fits both kinds: the meter decides */
    if (one && beat->kind == BEAT_COMPOUND && grids->threes)
        return grids->threes;
    if (one && grids->twos <= 1 && grids->threes)
        return grids->threes;
    return slots && is_power_of_two(slots) ? grids->twos : slots;
}

/* Counting the slots from the bar line: on odd ones it is the other hand's turn. */
static bool is_odd_slot(struct fraction part, int64_t slots, int64_t before)
{
    if (!part.denominator || !slots || slots % part.denominator)
        return false;
    return (before + part.numerator * (slots / part.denominator)) & 1;
}

/* ---- events ------------------------------------------------------------------------------- */

struct gatherer {
    struct hand_row *row;
    const struct grids *grids;
    const int64_t *slots;         /* of the bar's beats, in `grids` */
    const struct fraction *parts; /* of its leaves */
    int64_t whole;                /* ticks of a whole note in the bar */
    int64_t now;
    bool lettered, mirrored;
};

static bool is_hand_limb(uint8_t limb)
{
    return limb == LIMB_RIGHT_HAND || limb == LIMB_LEFT_HAND || limb == LIMB_HAND;
}

/* False if no hand strikes. */
static bool make_event(struct hand_event *event, struct note *note, const struct gatherer *gatherer)
{
    *event = (struct hand_event){.note = note};
    uint8_t limb = LIMB_HAND;
    for (size_t i = 0; i < note->hit_count; i++) {
        const struct hit *hit = &note->hits[i];
        if (!is_hand_limb(hit->limb) || event->count == 2)
            continue;
        if (event->count == 0)
            limb = hit->limb;
        event->voices[event->count++] = hit->voice;
    }
    event->given = limb != LIMB_HAND;
    if (!event->given && gatherer->lettered && event->count == 2 &&
        !(note->proposed & NOTE_KEYED)) {
        event->given = true;
        limb = gatherer->mirrored ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
    }
    event->turned = event->given && (limb == LIMB_LEFT_HAND) != gatherer->row->left_leads;
    return event->count > 0;
}

static int64_t in_ticks(struct fraction time, int64_t whole)
{
    return time.numerator * (whole / time.denominator);
}

static void set_times(const struct gatherer *gatherer, struct hand_event *event, bool swing)
{
    const struct score_bar *bar = event->bar;
    const struct score_line *line = &bar->lines[LINE_HANDS];
    struct fraction from = swing ? swing_leaf(bar, line, event->leaf).from : event->leaf->onset;
    event->tick = gatherer->now + in_ticks(fraction_subtract(from, bar->start), gatherer->whole);
    if (event->note->marks & MARKS_DIVIDING)
        event->length = in_ticks(timeline_duration(bar, line, event->leaf), gatherer->whole);
}

/* A beat's grid: how many slots it has, and how long each is, in ticks. */
struct beat_grid {
    int64_t slots, slot;
};

static struct beat_grid beat_grid(const struct gatherer *gatherer, const struct score_bar *bar,
                                  uint16_t beat)
{
    const struct score_beat *of = &bar->beats[beat];
    int64_t slots = grid_slots(gatherer->grids, of, gatherer->slots[beat]);
    if (!slots)
        return (struct beat_grid){0, 0};
    struct fraction slot = fraction_multiply(of->length, fraction_make(gatherer->whole, slots));
    return (struct beat_grid){slots, fraction_floor(slot)};
}

static void gather_bar(struct gatherer *gatherer, const struct score_bar *bar)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    struct hand_row *row = gatherer->row;
    bool swing = !swing_is_straight(bar);
    int64_t before = 0;
    uint16_t beat = 0;
    if (!line->leaf_count)
        return;
    struct beat_grid grid = beat_grid(gatherer, bar, 0);
    for (uint32_t i = 0; i < line->leaf_count; i++) {
        const struct leaf *leaf = &line->leaves[i];
        struct hand_event *event = &row->events[row->count];
        if (!leaf_struck(leaf) || !make_event(event, leaf->note, gatherer))
            continue;
        while (beat < leaf->beat) {
            before += grid.slots;
            grid = beat_grid(gatherer, bar, ++beat);
        }
        event->bar = bar;
        event->leaf = leaf;
        event->odd = is_odd_slot(gatherer->parts[i], grid.slots, before);
        event->slot = grid.slot;
        set_times(gatherer, event, swing);
        row->count++;
    }
}

/* By `lead`, in the lesson as it is written; for a player of the other hand, the other way round.
 */
static bool left_leads(const struct score *score, const struct score_exercise *exercise)
{
    bool other_player = exercise->mirrored != exercise->left_lead;
    bool left_kit = score->lesson->kit.left_handed != other_player;
    bool left = exercise->left_lead || (left_kit && exercise->source->settings.lead == LEAD_RIGHT);
    return left != other_player;
}

static void add_repeat(struct hand_row *row)
{
    int64_t later = row->end - row->events[row->again].tick;
    row->repeated = row->count - row->again;
    memcpy(row->events + row->count, row->events + row->again, row->repeated * sizeof *row->events);
    for (size_t i = row->count; i < row->count + row->repeated; i++)
        row->events[i].tick += later;
}

bool hands_go_round(const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    return source->plays > 1 && !source->ending_count && !source->sequence_count;
}

struct hand_row hands_gather(const struct score *score, const struct score_exercise *exercise,
                             struct time_grid grid, bool lettered, bool repeated,
                             struct arena *arena)
{
    struct hand_row row = {.left_leads = left_leads(score, exercise), .quarter = grid.whole / 4};
    size_t room = 0;
    for (size_t b = 0; b < exercise->bar_count; b++)
        room += exercise->bars[b].lines[LINE_HANDS].leaf_count;
    if (!grid.whole || !room)
        return row;
    row.tempo = play_tempo(&exercise->bars[0]);
    row.events = arena_array(arena, repeated ? 2 * room : room, sizeof *row.events);
    struct grids grids = find_grids(exercise, arena);
    struct gatherer gatherer = {.row = &row,
                                .grids = &grids,
                                .slots = grids.beats,
                                .parts = grids.parts,
                                .whole = grid.whole,
                                .lettered = lettered,
                                .mirrored = exercise->mirrored};
    int64_t begin = 0;
    const int64_t *wholes = timeline_bar_wholes(exercise, grid, arena);
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        if (wholes)
            gatherer.whole = wholes[b];
        if (b == 0)
            row.quarter = gatherer.whole / 4;
        if (b == 0 || exercise->bars[b - 1].pickup) {
            row.again = row.count;
            begin = gatherer.now;
        }
        bool again = bar->signs && bar->signs->same; /* its notes had their hands before */
        if (!again)
            gather_bar(&gatherer, bar);
        gatherer.now += in_ticks(bar->length, gatherer.whole);
        gatherer.slots += bar->beat_count;
        gatherer.parts += bar->lines[LINE_HANDS].leaf_count;
    }
    if (row.again < row.count) {
        row.end = gatherer.now + row.events[row.again].tick - begin;
        if (repeated)
            add_repeat(&row);
    }
    return row;
}
