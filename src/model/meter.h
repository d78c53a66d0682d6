#ifndef RATAMARK_MODEL_METER_H
#define RATAMARK_MODEL_METER_H
/*
 * Meters and how they divide into beats. Durations are fractions of a whole note.
 *
 * The rule (ratamark-lesson(5), METERS):
 *  - x/4, x/2, x/1: each unit is a simple beat, with or without groups (3+2/4 has five).
 *  - x/8, x/16 and shorter with groups: each group is a beat. Groups of three, six or twelve are
 *    compound, groups of one, two or four simple. A group of any other number is divided like a
 * meter without groups.
 *  - x/8 and shorter without groups: threes if x is a multiple of three (3/8 is one compound beat);
 *    otherwise twos, with a three at the end if x is odd (5/8 is 2+3, 7/8 is 2+2+3, 4/8 is 2+2).
 *  - 1/8 is one simple beat.
 */
#include "base/fraction.h"
#include "diag/diag.h"

enum { METER_GROUPS_MAX = 32, METER_BEATS_MAX = 64 };

struct meter {
    uint8_t groups[METER_GROUPS_MAX]; /* as written: {4} for 4/4, {2, 2, 3} for 2+2+3/8 */
    uint8_t group_count;
    uint8_t unit; /* 1, 2, 4, 8, 16, 32 */
    struct place at;
};

enum beat_kind { BEAT_SIMPLE, BEAT_COMPOUND };

struct beat {
    struct fraction start, length; /* from the bar line */
    enum beat_kind kind;
};

/* A written value: d dots make (2^(d+1) - 1) / 2^d of the plain one. */
static inline struct fraction value_length(unsigned value_log2, unsigned dots)
{
    return fraction_make((2 << dots) - 1, (int64_t)1 << (value_log2 + dots));
}

/* The whole bar. */
struct fraction meter_length(const struct meter *meter);
/* Writes the beats, at most METER_BEATS_MAX; returns how many. */
size_t meter_beats(const struct meter *meter, struct beat beats[METER_BEATS_MAX]);
bool meter_equal(const struct meter *a, const struct meter *b);

#endif
