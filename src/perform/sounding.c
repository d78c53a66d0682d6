/*
 * The strokes of a bar: for each line and leaf
 *
 *     when it sounds and for how long, swung                    strokes_play()
 *     its grace strokes, before it                              add_graces()
 *     for each hit of its note                                  add_hit()
 *         one stroke, unless a tie's continuation
 *         strokes that divide its time (slashes)                add_diddles()
 *         bounces that fill its time (a buzz)                   add_buzz()
 *
 * Grace strokes and bounces are known in microseconds from their note; settle.c gives them places
 * in musical time.
 */
#include "perform/perform_int.h"

#include <math.h>

enum { KEY_CLOSED_HAT = 42, KEY_OPEN_HAT = 46 }; /* General MIDI */
enum { BOUNCE_US = 30000 };                      /* from bounce to bounce of a buzz */
enum { LEVEL_GRACE = -90, LEVEL_BOUNCE = -60, LEVEL_BOUNCE_LAST = -120 };

/* One leaf as it is played. */
struct playing {
    struct performer *performer;
    const struct leaf *leaf;
    const struct note *note;
    const struct played_bar *played;
    uint32_t index; /* of the leaf, in its line */
    int line;
    struct fraction at, length; /* in the performance, swung */
};

/* A note ends with its value, but at most a quarter after it began; left to ring, it lasts a whole
   note. */
static struct fraction sounding_length(struct fraction length, bool rings)
{
    struct fraction limit = rings ? FRACTION_ONE : fraction_make(1, 4);
    return (fraction_compare(length, limit) > 0) != rings ? limit : length;
}

static struct loose_strike *add(const struct playing *playing, const struct hit *hit)
{
    struct performer *performer = playing->performer;
    const struct voice *voice = &performer->score->lesson->kit.voices[hit->voice];
    struct loose_strike *loose = vector_push(&performer->strikes, performer->arena);
    mark_set opened = playing->note->marks & (MARK_OPEN | MARK_HALF_OPEN);
    bool open =
        opened && voice->midi == KEY_CLOSED_HAT; /* a voice of the lesson's own may be one, too */
    bool foot = hit->limb == LIMB_RIGHT_FOOT || hit->limb == LIMB_LEFT_FOOT;
    bool rings = playing->note->marks & MARK_LET_RING && voice_rings(voice);
    loose->strike = (struct strike){
        .at = playing->at,
        .length = sounding_length(playing->length, rings),
        .part = foot ? SOUND_FEET : SOUND_HANDS,
        .kind = STRIKE_WRITTEN,
        .key = open ? KEY_OPEN_HAT : voice->midi,
        .rings = rings,
        .half_open = (open ? opened : voice->sign) & MARK_HALF_OPEN,
        .note = playing->at,
        .exercise = (uint32_t)(playing->played->exercise - performer->score->exercises),
        .bar = playing->played->index,
        .leaf = playing->index,
        .line = (uint8_t)playing->line,
        .limb = hit->limb,
    };
    loose->wholes = performer->wholes;
    return loose;
}

/* Slashes and a buzz are for the line's own limbs, not for a foot that plays along with the hands.
 */
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
    return (int16_t)marks_level(hit_marks(playing->note, hit));
}

/* ---- more than one stroke ------------------------------------------------------------------- */

static double microseconds(const struct performer *performer, struct fraction length)
{
    return fraction_to_double(length) * 60e6 / fraction_to_double(performer->wholes);
}

/* Microseconds from one grace stroke to the next and to the note, by how many there are: a flam is
   nearly one sound, the strokes of a ruff can be told apart (common practice; times from memory).
 */
static const int32_t grace_spacings[GRACES_MAX + 1] = {
    0,     /* none */
    30000, /* flam */
    35000, /* drag */
    40000, /* four-stroke ruff */
    40000, 40000, 40000, 40000,
};

/* Keeps the line's latest stroke: grace strokes stay clear of it. */
static void remember(const struct playing *playing, struct fraction at)
{
    struct performer *performer = playing->performer;
    if (!performer->played[playing->line] ||
        fraction_compare(at, performer->last[playing->line]) > 0)
        performer->last[playing->line] = at;
    performer->played[playing->line] = true;
}

/* Grace strokes strike what the first hand strikes. If the stroke before is too near, they divide
   the time since then evenly. */
static void add_graces(const struct playing *playing)
{
    const struct note *note = playing->note;
    struct performer *performer = playing->performer;
    const struct hit *hit = NULL;
    for (size_t i = 0; i < note->hit_count && !hit; i++)
        hit = of_line(playing, &note->hits[i]) ? &note->hits[i] : NULL;
    if (!note->grace_count || !hit)
        return;
    int32_t spacing = grace_spacings[note->grace_count];
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

/* Strokes that divide the note's time evenly. Only the first is accented, and none in a
   tie's continuation. */
static void add_diddles(const struct playing *playing, const struct hit *hit, int strokes)
{
    struct fraction each = fraction_divide(playing->length, fraction_make(strokes, 1));
    for (int i = 0; i < strokes; i++) {
        struct loose_strike *loose = add(playing, hit);
        struct fraction later = fraction_multiply(each, fraction_make(i, 1));
        loose->strike.at = loose->strike.note = fraction_add(playing->at, later);
        loose->strike.length = each;
        loose->level = i || playing->leaf->continued ? plain_level(hit) : first_level(playing, hit);
        remember(playing, loose->strike.at);
    }
}

/* Bounces fill the note's time. They die away unless the note rings or is tied to the next. */
static void add_buzz(const struct playing *playing, const struct hit *hit)
{
    double length = microseconds(playing->performer, playing->length);
    long bounces = lround(length / BOUNCE_US);
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
    const struct leaf *leaf = playing->leaf;
    int strokes = of_line(playing, hit) ? leaf_strokes(leaf) : 1;
    bool roll_ends = leaf->note->roll && of_line(playing, hit);
    if (strokes == 0)
        add_buzz(playing, hit);
    else if (strokes > 1)
        add_diddles(playing, hit, strokes);
    else if (!leaf->continued)
        add(playing, hit)->level = first_level(playing, hit);
    else if (roll_ends)
        add(playing, hit)->level = plain_level(hit);
    /* a buzz that is tied on begins its bounces again there */
    if (strokes == 0 || (strokes == 1 && (!leaf->continued || roll_ends)))
        remember(playing, playing->at);
}

/* ---- the bar -------------------------------------------------------------------------------- */

static void play_leaf(const struct playing *playing)
{
    const struct leaf *leaf = playing->leaf;
    if (leaf->continued && leaf->note->roll && !leaf->ends_roll)
        return;
    if (!playing->leaf->continued)
        add_graces(playing);
    for (size_t i = 0; i < playing->note->hit_count; i++)
        add_hit(playing, &playing->note->hits[i]);
}

void strokes_play(struct performer *performer, const struct played_bar *played)
{
    const struct score_bar *bar = played->bar;
    for (int l = 0; l < LINE_COUNT; l++) {
        const struct score_line *line = &bar->lines[l];
        for (uint32_t i = 0; i < line->leaf_count; i++) {
            const struct leaf *leaf = &line->leaves[i];
            if (leaf->rest || !leaf->note)
                continue;
            struct swung_time span = swing_leaf(bar, line, leaf);
            if (leaf->note->roll)
                span.to = swing_leaf(bar, line, &line->leaves[roll_last(line, i)]).to;
            struct fraction from = fraction_subtract(span.from, bar->start);
            if (performer->changing)
                performer->wholes = pace_at(performer, &performer->playing, span.from);
            struct playing playing = {.performer = performer,
                                      .leaf = leaf,
                                      .note = leaf->note,
                                      .played = played,
                                      .index = i,
                                      .line = l,
                                      .at = fraction_add(performer->now, from),
                                      .length = fraction_subtract(span.to, span.from)};
            play_leaf(&playing);
        }
    }
}
