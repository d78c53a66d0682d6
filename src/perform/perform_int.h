#ifndef RATAMARK_PERFORM_INT_H
#define RATAMARK_PERFORM_INT_H
/* What the files of this folder share. Levels are tenths of a decibel below full strength (so 0 or
   less); offsets to them are tenths of a decibel. */
#include "base/vector.h"
#include "model/pace.h"
#include "model/playback.h"
#include "model/swing.h"
#include "perform/perform.h"

/* A stroke before its strength and the last of its time are known. */
struct loose_strike {
    struct strike strike;
    struct fraction wholes; /* a minute, under it */
    int64_t microseconds;   /* grace or bounce: before (less than 0) or after strike.at */
    int16_t level;          /* offset to the dynamics */
    bool steady;            /* a click: not under the dynamics */
};

struct dynamic_change {
    struct fraction at;
    const char *text;
};

struct performer {
    const struct score *score;
    const struct perform_options *options;
    struct arena *arena;
    struct fraction now;              /* where the next bar begins */
    struct fraction wholes;           /* a minute, in the bar at hand */
    struct fraction faster;           /* the tempo played divided by the tempo written */
    struct fraction last[LINE_COUNT]; /* the last stroke of each line, for grace strokes after it */
    struct paces paces;
    bool played[LINE_COUNT]; /* there is one */
    unsigned bars;           /* since the count-in */
    size_t all_bars;
    VECTOR(struct loose_strike) strikes;
    VECTOR(struct dynamic_change) dynamics;
    VECTOR(struct tempo_change) tempi;
    VECTOR(struct meter_change) meters;
    VECTOR(struct marker) markers;
};

/* strokes.c: the strokes of a bar's leaves. `bar->start` falls on performer->now. */
void strokes_play(struct performer *performer, const struct score_bar *bar);

/* levels.c: strengths. Gives the strikes from `first` on, which are of one playing of an exercise,
   their velocities, under the dynamics gathered, and forgets those. */
void levels_settle(struct performer *performer, size_t first, struct fraction end);
enum { LEVEL_GRACE = -90 }; /* those of marks are in their table */
enum { LEVEL_CLICK_ONE = -40, LEVEL_CLICK_BEAT = -80 };

/* ornaments.c: times that no score says. */
int32_t ornament_grace_spacing(unsigned graces);
enum { ORNAMENT_BOUNCE = 30000 }; /* microseconds from bounce to bounce of a buzz */
enum { LEVEL_BOUNCE = -60, LEVEL_BOUNCE_LAST = -120 };
/* settle.c: puts grace strokes and bounces on a grid and all in order: the finished performance. */
struct performance *settle(struct performer *performer);

#endif
