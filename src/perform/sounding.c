/* From a bar's leaves to its strokes: limbs, keys, grace strokes, diddles and buzzes. */
#include "perform/perform_int.h"

#include <math.h>

enum { KEY_CLOSED_HAT = 42, KEY_OPEN_HAT = 46 };

/* One leaf as it is played. */
struct playing {
    struct performer *performer;
    const struct leaf *leaf;
    const struct note *note;
    int line;
    struct fraction at, length; /* in the performance, swung */
};

static struct loose_strike *add(const struct playing *playing, const struct hit *hit)
{
    struct performer *performer = playing->performer;
    const struct voice *voice = &performer->score->lesson->kit.voices[hit->voice];
    struct loose_strike *loose = vector_push(&performer->strikes, performer->arena);
    mark_set opened = playing->note->marks & (MARK_OPEN | MARK_HALF_OPEN);
    bool open = opened && voice->midi == KEY_CLOSED_HAT; /* an own voice like the hat */
    bool foot = hit->limb == LIMB_RIGHT_FOOT || hit->limb == LIMB_LEFT_FOOT;
    loose->strike = (struct strike){
        .at = playing->at,
        .length = fraction_compare(playing->length, fraction_make(1, 4)) > 0 ? fraction_make(1, 4)
                                                                             : playing->length,
        .part = foot ? SOUND_FEET : SOUND_HANDS,
        .kind = STRIKE_WRITTEN,
        .key = open ? KEY_OPEN_HAT : voice->midi,
        .half_open = (open ? opened : voice->sign) & MARK_HALF_OPEN,
    };
    loose->wholes = performer->wholes;
    return loose;
}

/* Marks ask the limbs of the line for more than one stroke, not a foot that falls in with it. */
static bool of_line(const struct playing *playing, const struct hit *hit)
{
    return playing->line == LINE_FEET ||
           (hit->limb != LIMB_RIGHT_FOOT && hit->limb != LIMB_LEFT_FOOT);
}

static int16_t plain_level(const struct hit *hit)
{
    return (int16_t)marks_level(hit->ghost ? MARK_GHOST : MARK_NONE);
}

static int16_t first_level(const struct playing *playing, const struct hit *hit)
{
    return (int16_t)(plain_level(hit) + marks_level(playing->note->marks));
}

/* ---- more than one stroke ------------------------------------------------------------------- */

static double microseconds(const struct performer *performer, struct fraction length)
{
    return fraction_to_double(length) * 60e6 / fraction_to_double(performer->wholes);
}

/* Grace strokes fall on the voice of the first hand. */
static void add_graces(const struct playing *playing)
{
    const struct note *note = playing->note;
    struct performer *performer = playing->performer;
    const struct hit *hit = NULL;
    for (size_t i = 0; i < note->hit_count && !hit; i++)
        hit = of_line(playing, &note->hits[i]) ? &note->hits[i] : NULL;
    if (!note->grace_count || !hit)
        return;
    int32_t spacing = ornament_grace_spacing(note->grace_count);
    if (performer->played[playing->line]) {
        struct fraction room = fraction_subtract(playing->at, performer->last[playing->line]);
        double even = microseconds(performer, room) / (note->grace_count + 1);
        if (even < spacing)
            spacing = (int32_t)even;
    }
    for (int32_t i = note->grace_count; i > 0; i--) {
        struct loose_strike *loose = add(playing, hit);
        loose->strike.kind = STRIKE_GRACE;
        loose->strike.length = fraction_make(1, 64);
        loose->microseconds = -i * spacing;
        loose->level = (int16_t)(plain_level(hit) + LEVEL_GRACE);
    }
}

/* Diddles: 2 or 4 strokes that divide the note's time evenly. The first alone has its accent, and a
   tie's continuation has none. */
static void add_diddles(const struct playing *playing, const struct hit *hit, int strokes)
{
    struct fraction each = fraction_divide(playing->length, fraction_make(strokes, 1));
    for (int i = 0; i < strokes; i++) {
        struct loose_strike *loose = add(playing, hit);
        struct fraction later = fraction_multiply(each, fraction_make(i, 1));
        loose->strike.at = fraction_add(playing->at, later);
        loose->strike.length = each;
        loose->level = i || playing->leaf->continued ? plain_level(hit) : first_level(playing, hit);
    }
}

/* A buzz fills its note's time with bounces; it dies away unless it rings into the next note. */
static void add_buzz(const struct playing *playing, const struct hit *hit)
{
    double length = microseconds(playing->performer, playing->length);
    long bounces = lround(length / ORNAMENT_BOUNCE);
    if (bounces < 2)
        bounces = 2;
    bool rings = playing->note->marks & MARK_RING || playing->leaf->tied;
    for (long i = 0; i < bounces; i++) {
        struct loose_strike *loose = add(playing, hit);
        loose->strike.length = fraction_make(1, 64);
        loose->level = first_level(playing, hit);
        if (i == 0 && !playing->leaf->continued)
            continue;
        long fade = rings ? 0 : (LEVEL_BOUNCE_LAST - LEVEL_BOUNCE) * i / bounces;
        loose->level = (int16_t)(plain_level(hit) + LEVEL_BOUNCE + fade);
        loose->strike.kind = i ? STRIKE_BOUNCE : STRIKE_WRITTEN;
        loose->microseconds = llround((double)i * length / (double)bounces);
    }
}

static void add_hit(const struct playing *playing, const struct hit *hit)
{
    int strokes = marks_strokes(of_line(playing, hit) ? playing->note->marks : MARK_NONE);
    if (strokes == 0)
        add_buzz(playing, hit);
    else if (strokes > 1)
        add_diddles(playing, hit, strokes);
    else if (!playing->leaf->continued)
        add(playing, hit)->level = first_level(playing, hit);
}

/* ---- the bar ----------------------------------------------------------------------------------
 */

static void play_leaf(const struct playing *playing)
{
    struct performer *performer = playing->performer;
    if (!playing->leaf->continued)
        add_graces(playing);
    for (size_t i = 0; i < playing->note->hit_count; i++)
        add_hit(playing, &playing->note->hits[i]);
    performer->last[playing->line] = playing->at;
    performer->played[playing->line] = true;
}

void strokes_play(struct performer *performer, const struct score_bar *bar)
{
    for (int l = 0; l < LINE_COUNT; l++) {
        const struct score_line *line = &bar->lines[l];
        for (uint32_t i = 0; i < line->leaf_count; i++) {
            const struct leaf *leaf = &line->leaves[i];
            if (leaf->rest || !leaf->note)
                continue;
            struct swing_span span = swing_leaf(bar, line, leaf);
            struct fraction from = fraction_subtract(span.from, bar->start);
            struct playing playing = {.performer = performer,
                                      .leaf = leaf,
                                      .note = leaf->note,
                                      .line = l,
                                      .at = fraction_add(performer->now, from),
                                      .length = fraction_subtract(span.to, span.from)};
            play_leaf(&playing);
        }
    }
}
