/* The events of the hands in their order, and in natural sticking, whose turn each is. */
#include "play/hands.h"

#include "play/play_int.h"

static bool is_power_of_two(int64_t number)
{
    return (number & (number - 1)) == 0;
}

/* The finest grids that an exercise uses, in slots a beat: of 2, 4, 8 ..., and of 3, 6, 12 ... */
struct grids {
    int64_t twos, threes;
};

/* The fewest slots of a beat on which all its strokes fall; 0: too many. */
static int64_t beat_slots(const struct score_bar *bar, uint16_t beat)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    int64_t slots = 1;
    for (uint32_t i = 0; i < line->leaf_count && slots; i++) {
        const struct leaf *leaf = &line->leaves[i];
        if (leaf->beat != beat || !leaf_struck(leaf))
            continue;
        struct fraction part = fraction_divide(
            fraction_subtract(leaf->onset, bar->beats[beat].start), bar->beats[beat].length);
        slots = part.denominator ? least_common_multiple(slots, part.denominator) : 0;
    }
    return slots;
}

static bool is_threes(int64_t slots)
{
    return slots % 3 == 0 && is_power_of_two(slots / 3);
}

static void take_grids(struct grids *grids, const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        for (uint16_t beat = 0; beat < exercise->bars[b].beat_count; beat++) {
            int64_t slots = beat_slots(&exercise->bars[b], beat);
            if (slots && is_power_of_two(slots) && slots > grids->twos)
                grids->twos = slots;
            if (slots && is_threes(slots) && slots > grids->threes)
                grids->threes = slots;
        }
}

/* A beat is counted on the finest grid of its kind that the exercise uses. */
static int64_t grid_slots(const struct grids *grids, const struct score_bar *bar, uint16_t beat)
{
    int64_t slots = beat_slots(bar, beat);
    if (slots > 1 && is_threes(slots))
        return grids->threes;
    bool one = slots <= 1; /* one stroke on the beat fits both kinds: the meter decides */
    if (one && bar->beats[beat].kind == BEAT_COMPOUND && grids->threes)
        return grids->threes;
    if (one && grids->twos <= 1 && grids->threes)
        return grids->threes;
    return slots && is_power_of_two(slots) ? grids->twos : slots;
}

/* Counting the slots from the bar line: on odd ones it is the other hand's turn. */
static bool is_odd_slot(const struct grids *grids, const struct score_bar *bar,
                        const struct leaf *leaf)
{
    int64_t before = 0;
    for (uint16_t beat = 0; beat < leaf->beat; beat++)
        before += grid_slots(grids, bar, beat);
    struct fraction part =
        fraction_divide(fraction_subtract(leaf->onset, bar->beats[leaf->beat].start),
                        bar->beats[leaf->beat].length);
    int64_t slots = grid_slots(grids, bar, leaf->beat);
    if (!part.denominator || !slots || slots % part.denominator)
        return false;
    return (before + part.numerator * (slots / part.denominator)) & 1;
}

static bool is_hand_limb(uint8_t limb)
{
    return limb == LIMB_RIGHT_HAND || limb == LIMB_LEFT_HAND || limb == LIMB_HAND;
}

/* False if no hand strikes. */
static bool make_event(struct hand_event *event, struct note *note, bool left_leads, bool lettered)
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
    if (!event->given && lettered && event->count == 2 && !(note->proposed & NOTE_KEYED)) {
        event->given = true;
        limb = left_leads ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
    }
    event->turned = event->given && (limb == LIMB_LEFT_HAND) != left_leads;
    return event->count > 0;
}

struct hand_row hands_gather(const struct score_exercise *exercise, int64_t whole, bool lettered,
                             bool slots, struct arena *arena)
{
    struct hand_row row = {.left_leads = exercise->mirrored};
    int64_t now = 0;
    size_t room = 0;
    for (size_t b = 0; b < exercise->bar_count; b++)
        room += exercise->bars[b].lines[LINE_HANDS].leaf_count;
    if (!whole)
        return row;
    struct grids grids = {1, 0};
    if (slots)
        take_grids(&grids, exercise);
    row.events = arena_array(arena, room, sizeof *row.events);
    row.quarter = whole / 4;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        const struct score_line *line = &bar->lines[LINE_HANDS];
        bool again = bar->signs && bar->signs->same; /* its notes had their hands before */
        for (uint32_t i = 0; i < line->leaf_count && !again; i++) {
            const struct leaf *leaf = &line->leaves[i];
            struct hand_event *event = &row.events[row.count];
            if (!leaf_struck(leaf) || !make_event(event, leaf->note, row.left_leads, lettered))
                continue;
            struct fraction in = fraction_subtract(leaf->onset, bar->start);
            event->tick = now + in.numerator * (whole / in.denominator);
            event->odd = slots && is_odd_slot(&grids, bar, leaf);
            row.count++;
        }
        now += bar->length.numerator * (whole / bar->length.denominator);
    }
    return row;
}
