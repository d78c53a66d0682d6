#ifndef RATAMARK_MODEL_PACE_H
#define RATAMARK_MODEL_PACE_H
/* How fast each bar of an exercise goes, as it is written: tempi, meters, and beats that go on
   through a change. What is played and what is judged go alike. */
#include "model/score.h"
#include "model/tempo.h"

/* Which of a tempo's beats a minute are meant; NULL: none is written; 0: so nothing is known. */
typedef unsigned pace_choice(const struct tempo *tempo);

/* Whole notes a minute of each bar of the exercise, by its index; zero where nothing is known.
   `paces` has room for all; an overflow is passed on. A new tempo counts from what is written; a
   `pulse` leads over; else the beat goes on, in the new meter's beats where that changes. Before
   each ending comes the last bar that all of them share. */
void pace_bars(const struct score_exercise *exercise, pace_choice *choice, struct fraction *paces);

#endif
