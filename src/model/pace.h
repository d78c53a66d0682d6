#ifndef RATAMARK_MODEL_PACE_H
#define RATAMARK_MODEL_PACE_H
/* How fast each bar of an exercise is: its tempo, its meter, and a pulse that runs on through a
   change. Sound and playability use the same speeds. */
#include "model/score.h"
#include "model/tempo.h"

/* Picks one of a tempo's numbers. The tempo may be NULL; returns 0 for no speed. */
typedef unsigned pace_choice(const struct tempo *tempo);

/* Writes the speed of each bar, in whole notes a minute, to `paces`, which has room for all; zero
   for no speed, and an overflow is passed on. A new tempo sets the speed; a `pulse` derives it from
   the bar before; otherwise the beat stays the same, counted in the new meter's beats. The bar
   before an ending is the last bar that all endings share. */
void pace_bars(const struct score_exercise *exercise, pace_choice *choice, struct fraction *paces);

#endif
