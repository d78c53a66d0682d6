/*
 * How loud. A level is a distance from full strength in tenths of a decibel: dynamics stand four
 * decibels apart, with mf at the middle of MIDI's scale, and accents and ghosts are distances from
 * them. The curve to a velocity is the one by which sound fonts answer (SoundFont 2.04, default
 * modulator for velocity; from memory): 40 dB for each power of ten.
 */
#include "perform/perform_int.h"

#include <math.h>
#include <string.h>

enum { LEVEL_STEP = 40, LEVEL_SWELL = 80, LEVEL_SFORZANDO = 80, LEVEL_LEAST = -280 };
enum { LEVEL_P = -200, LEVEL_MF = -120, LEVEL_F = -80 };

static const struct {
    const char *text;
    int level;
} steady[] = {
    {"ppp", LEVEL_LEAST}, {"pp", -240},   {"p", LEVEL_P}, {"mp", -160},
    {"mf", LEVEL_MF},     {"f", LEVEL_F}, {"ff", -40},    {"fff", 0},
};

/* From `at` on the level goes from `level` to `goal`, which it reaches at the next stretch. */
struct stretch {
    struct fraction at;
    int level, goal;
    int swell; /* 1 cresc, -1 dim, 0: even */
};

/* Of one moment alone. */
struct stress {
    struct fraction at;
    int level; /* sfz: offset; fp: the level itself */
    bool absolute;
};

struct course_of_levels {
    VECTOR(struct stretch) stretches;
    VECTOR(struct stress) stresses;
    struct fraction end;
};

static int within(int level)
{
    return level > 0 ? 0 : level < LEVEL_LEAST ? LEVEL_LEAST : level;
}

/* Ends the stretch before: a swell leads to the level that follows, or by two steps where none
   does. Returns the level that it leads to. */
static int close_stretch(struct course_of_levels *course, const int *next)
{
    if (course->stretches.count == 0)
        return LEVEL_MF;
    struct stretch *last = &course->stretches.items[course->stretches.count - 1];
    last->goal = last->level;
    if (last->swell)
        last->goal = next ? *next : within(last->level + last->swell * LEVEL_SWELL);
    return last->goal;
}

static void open_stretch(struct performer *performer, struct course_of_levels *course,
                         struct fraction at, int level, int swell)
{
    *vector_push(&course->stretches, performer->arena) = (struct stretch){at, level, level, swell};
}

static void stress(struct performer *performer, struct course_of_levels *course, struct fraction at,
                   int level, bool absolute)
{
    *vector_push(&course->stresses, performer->arena) = (struct stress){at, level, absolute};
}

static void take(struct performer *performer, struct course_of_levels *course,
                 const struct dynamic_change *change)
{
    const char *text = change->text;
    if (strcmp(text, "sfz") == 0) {
        stress(performer, course, change->at, LEVEL_SFORZANDO, false);
        return;
    }
    if (strcmp(text, "cresc") == 0 || strcmp(text, "dim") == 0) {
        int level = close_stretch(course, NULL);
        open_stretch(performer, course, change->at, level, *text == 'c' ? 1 : -1);
        return;
    }
    int level = LEVEL_P; /* fp */
    if (strcmp(text, "fp") == 0)
        stress(performer, course, change->at, LEVEL_F, true);
    for (size_t i = 0; i < sizeof steady / sizeof *steady; i++)
        if (strcmp(text, steady[i].text) == 0)
            level = steady[i].level;
    close_stretch(course, &level);
    open_stretch(performer, course, change->at, level, 0);
}

static int level_at(const struct course_of_levels *course, struct fraction at)
{
    const struct stretch *stretches = course->stretches.items;
    size_t after, count = course->stretches.count;
    lower_bound(after, 0, count, fraction_compare(stretches[after].at, at) <= 0);
    if (after == 0)
        return LEVEL_MF;
    const struct stretch *here = &stretches[after - 1];
    struct fraction end = after < count ? stretches[after].at : course->end;
    double length = fraction_to_double(fraction_subtract(end, here->at));
    double gone = fraction_to_double(fraction_subtract(at, here->at));
    return here->level + (length > 0 ? (int)lround((here->goal - here->level) * gone / length) : 0);
}

static int stressed(const struct course_of_levels *course, const struct strike *strike, int level)
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
    struct course_of_levels course = {.end = end};
    for (size_t i = 0; i < performer->dynamics.count; i++)
        take(performer, &course, &performer->dynamics.items[i]);
    close_stretch(&course, NULL);
    for (size_t i = first; i < performer->strikes.count; i++) {
        struct loose_strike *loose = &performer->strikes.items[i];
        int level = 0;
        if (!loose->steady)
            level = stressed(&course, &loose->strike, level_at(&course, loose->strike.at));
        loose->strike.velocity = velocity(level + loose->level);
    }
    performer->dynamics.count = 0;
}
