/*
 * How loud each stroke is. A level is the distance below full strength in tenths of a decibel.
 * Dynamics are four decibels apart, with mf in the middle of MIDI's scale (common practice).
 *
 *     the dynamics of one playing, in order                   take()
 *         a level, or a swell from here to the next one       a slope
 *         sfz and the f of fp: one moment only                a stress
 *     for each stroke                                         levels_settle()
 *         the level of its slope at its moment                level_at()
 *         what a stress on its moment changes                 stressed()
 *         what its own marks add (accent, ghost, grace)       loose_strike.level
 *         the sum as a MIDI velocity                          velocity()
 *
 * A velocity ten times as high is 40 dB louder: sound fonts answer so (SoundFont 2.04, default
 * modulator for velocity; from memory).
 */
#include "perform/perform_int.h"

#include <math.h>
#include <string.h>

enum { LEVEL_SWELL = 80, LEVEL_SFORZANDO = 80, LEVEL_LEAST = -280 };
enum { LEVEL_MF = -120, LEVEL_F = -80 };

static const struct {
    const char *text;
    int level;
} steady[] = {
    {"ppp", LEVEL_LEAST}, {"pp", -240},   {"p", -200}, {"mp", -160},
    {"mf", LEVEL_MF},     {"f", LEVEL_F}, {"ff", -40}, {"fff", 0},
};

/* From `at` on the level goes from `level` to `goal`, which it reaches where the next slope begins.
 */
struct slope {
    struct fraction at;
    int level, goal;
    int swell; /* 1: cresc, -1: dim, 0: the level stays */
};

/* A change for the strokes at one moment only. */
struct stress {
    struct fraction at;
    int level;     /* added to the level there ... */
    bool absolute; /* ... or taken instead of it */
};

struct level_course {
    VECTOR(struct slope) slopes;
    VECTOR(struct stress) stresses;
    struct fraction end;
};

static int within_range(int level)
{
    return level > 0 ? 0 : level < LEVEL_LEAST ? LEVEL_LEAST : level;
}

/* Ends the latest slope: a swell leads to the level that follows, or by two dynamics if none is
   written. Returns the level that it leads to. */
static int end_slope(struct level_course *course, const int *next)
{
    if (course->slopes.count == 0)
        return LEVEL_MF;
    struct slope *last = &course->slopes.items[course->slopes.count - 1];
    last->goal = last->level;
    if (last->swell)
        last->goal = next ? *next : within_range(last->level + last->swell * LEVEL_SWELL);
    return last->goal;
}

static void take(struct arena *arena, struct level_course *course,
                 const struct dynamic_change *change)
{
    const char *text = change->text;
    struct slope slope = {.at = change->at};
    bool fp = strcmp(text, "fp") == 0;
    if (fp)
        *vector_push(&course->stresses, arena) = (struct stress){change->at, LEVEL_F, true};
    if (strcmp(text, "sfz") == 0) {
        *vector_push(&course->stresses, arena) =
            (struct stress){change->at, LEVEL_SFORZANDO, false};
        return;
    }
    if (strcmp(text, "cresc") == 0 || strcmp(text, "dim") == 0) {
        slope.level = end_slope(course, NULL);
        slope.swell = *text == 'c' ? 1 : -1;
    } else {
        for (size_t i = 0; i < sizeof steady / sizeof *steady; i++)
            if (strcmp(fp ? "p" : text, steady[i].text) == 0)
                slope.level = steady[i].level;
        end_slope(course, &slope.level);
    }
    *vector_push(&course->slopes, arena) = slope;
}

static int level_at(const struct level_course *course, struct fraction at)
{
    const struct slope *slopes = course->slopes.items;
    size_t after, count = course->slopes.count;
    lower_bound(after, 0, count, fraction_compare(slopes[after].at, at) <= 0);
    if (after == 0)
        return LEVEL_MF;
    const struct slope *here = &slopes[after - 1];
    struct fraction end = after < count ? slopes[after].at : course->end;
    double length = fraction_to_double(fraction_subtract(end, here->at));
    double gone = fraction_to_double(fraction_subtract(at, here->at));
    return here->level + (length > 0 ? (int)lround((here->goal - here->level) * gone / length) : 0);
}

static int stressed(const struct level_course *course, const struct strike *strike, int level)
{
    if (strike->kind != STRIKE_WRITTEN)
        return level;
    const struct stress *stresses = course->stresses.items;
    size_t i, count = course->stresses.count;
    lower_bound(i, 0, count, fraction_compare(stresses[i].at, strike->at) < 0);
    for (; i < count && fraction_equal(stresses[i].at, strike->at); i++)
        level = stresses[i].level + (stresses[i].absolute ? 0 : level);
    return level;
}

static uint8_t velocity(int level)
{
    long strength = lround(127 * pow(10, level / 400.0));
    return (uint8_t)(strength > 127 ? 127 : strength < 1 ? 1 : strength);
}

void levels_settle(struct performer *performer, size_t first, struct fraction end)
{
    struct level_course course = {.end = end};
    for (size_t i = 0; i < performer->dynamics.count; i++)
        take(performer->arena, &course, &performer->dynamics.items[i]);
    end_slope(&course, NULL);
    for (size_t i = first; i < performer->strikes.count; i++) {
        struct loose_strike *loose = &performer->strikes.items[i];
        int level = 0;
        if (!loose->steady)
            level = stressed(&course, &loose->strike, level_at(&course, loose->strike.at));
        loose->strike.velocity = velocity(level + loose->level);
    }
    performer->dynamics.count = 0;
}
