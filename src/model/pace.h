#ifndef RATAMARK_MODEL_PACE_H
#define RATAMARK_MODEL_PACE_H
/* How fast each bar of an exercise is: its tempo, its meter, and a pulse that runs on through a
   change. Sound and playability use the same speeds. */
#include "model/playback.h"
#include "model/tempo.h"

/* Picks one of a tempo's numbers. The tempo may be NULL; returns 0 for no speed. */
typedef unsigned pace_choice(const struct tempo *tempo);

/* The speeds of one exercise's bars: worked out when its first bar is asked for, and kept until a
   bar of another exercise is. Begin with `{.choice = ...}`; end with paces_release(). */
struct paces {
    pace_choice *choice;
    const struct score_exercise *exercise; /* NULL: none yet */
    struct fraction *bars;
};

/* The speed of a bar in whole notes a minute; zero for no speed; FRACTION_OVERFLOW if it does not
   fit. A new tempo sets the speed; a `pulse` derives it from the bar before; otherwise the beat
   stays the same, counted in the new meter's beats. The bar before an ending is the last bar that
   all endings share. */
struct fraction paces_of_bar(struct paces *paces, const struct played_bar *played);
void paces_release(struct paces *paces);

#endif
