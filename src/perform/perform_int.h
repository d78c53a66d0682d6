#ifndef RATAMARK_PERFORM_INT_H
#define RATAMARK_PERFORM_INT_H
/* What the files of this folder share. A level is in tenths of a decibel: 0 is full strength, less
   is softer. */
#include "base/vector.h"
#include "model/pace.h"
#include "model/playback.h"
#include "model/swing.h"
#include "perform/perform.h"

/* A stroke whose velocity is not known yet, and a grace stroke's or bounce's place in time. */
struct loose_strike {
    struct strike strike;
    struct fraction wholes; /* whole notes a minute at that moment */
    int64_t microseconds;   /* of a grace stroke (negative) or bounce: from strike.at */
    int16_t level;          /* added to that of the dynamics */
    bool steady;            /* a click: dynamics do not change it */
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
    struct fraction wholes;           /* whole notes a minute in this bar, or at this stroke */
    struct played_bar playing;        /* the bar that is being played */
    bool changing;                    /* the speed changes inside it */
    struct fraction faster;           /* the tempo played divided by the tempo written */
    struct fraction last[LINE_COUNT]; /* the latest stroke of each line: graces come after it */
    struct paces paces;
    bool played[LINE_COUNT]; /* whether there is one */
    unsigned bars;           /* full bars since the count-in */
    size_t all_bars;         /* of all exercises */
    VECTOR(struct loose_strike) strikes;
    VECTOR(struct dynamic_change) dynamics;
    VECTOR(struct tempo_change) tempos;
    VECTOR(struct meter_change) meters;
    VECTOR(struct marker) markers;
};

/* How fast the exercise is at a place in a bar, in whole notes a minute. */
static inline struct fraction pace_at(struct performer *performer, const struct played_bar *played,
                                      struct fraction onset)
{
    return fraction_multiply(paces_at(&performer->paces, played, onset), performer->faster);
}

/* sounding.c: adds the strokes of a bar that begins at performer->now. */
void strokes_play(struct performer *performer, const struct played_bar *played);

/* loudness.c: once through an exercise is over at `end`. Sets the velocities of its strikes, those
   from `first` on, by the dynamics gathered, and forgets the dynamics. */
void levels_settle(struct performer *performer, size_t first, struct fraction end);

/* settle.c: places grace strokes and bounces, sorts all strikes, returns the performance. */
struct performance *settle(struct performer *performer);

#endif
