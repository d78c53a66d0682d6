#ifndef RATAMARK_MODEL_PACE_H
#define RATAMARK_MODEL_PACE_H
/*
 * How fast each bar of an exercise is: its tempo, its meter, and a pulse that runs on through a
 * change. Sound and playability use the same speeds.
 *
 * A gradual tempo, accel and rit change the speed evenly from place to place: by half way it has
 * changed by half. A tempo of `60 to 120` reaches the second with the last bar that it is written
 * for. accel and rit last until the next word, tempo or end: they lead to the tempo written there,
 * otherwise to 5/4 or 4/5 of the speed that they began with (common practice; the size is our own).
 */
#include "base/vector.h"
#include "model/playback.h"
#include "model/tempo.h"

/* Picks one of a tempo's numbers. The tempo may be NULL; returns 0 for no speed. */
typedef unsigned pace_choice(const struct tempo *tempo);

/* A stretch in which the speed changes, by a factor of that of its bars. */
struct pace_slope {
    struct fraction from, to;     /* in whole notes from the exercise's first bar */
    struct fraction factor, goal; /* at its beginning and at its end */
};

/* The speeds of one exercise's bars: worked out when its first bar is asked for, and kept until a
   bar of another exercise is. Begin with `{.choice = ...}`; end with paces_release(). */
struct paces {
    pace_choice *choice;
    bool gradual; /* gradual tempos change; otherwise `choice` holds for all of their bars */
    const struct score_exercise *exercise; /* NULL: none yet */
    struct fraction *bars;
    struct fraction *starts; /* of the bars, one after the other as they are written */
    VECTOR(struct pace_slope) slopes;
};

/* The speed of a bar in whole notes a minute, where it changes the fastest; zero for no speed;
   FRACTION_OVERFLOW if it does not fit. A new tempo sets the speed; a `pulse` derives it from the
   bar before; otherwise the beat stays the same, counted in the new meter's beats. The bar before
   an ending is the last bar that all endings share. */
struct fraction paces_of_bar(struct paces *paces, const struct played_bar *played);
/* Whether the speed changes inside a bar, and the speed at a place in it. */
bool paces_change_in_bar(struct paces *paces, const struct played_bar *played);
struct fraction paces_at(struct paces *paces, const struct played_bar *played,
                         struct fraction onset);
void paces_release(struct paces *paces);

#endif
