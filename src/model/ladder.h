#ifndef RATAMARK_MODEL_LADDER_H
#define RATAMARK_MODEL_LADDER_H
/*
 * Practice ladders: which exercises have one, its steps, and whether a speed goal asks for the
 * caution. The page and the reading show the same ones. An index that is no exercise's stands for
 * the lesson's own ladder.
 */
#include "model/score.h"
#include "model/tempo.h"

/* With `ladder: limit` every exercise has a ladder, up to its verdict; one that is printed with
   both leads, below the second, up to the lower verdict. NULL: none. */
const struct verdict *ladder_verdict(const struct score *score, size_t exercise);

/* The lesson's ladder stands at its end; an exercise that wrote its own tempo has its own, once
   where it is printed with both leads. */
bool ladder_shown(const struct score *score, size_t exercise);

/* The steps of a ladder that is shown, in beats a minute; returns how many. */
size_t ladder_rungs(const struct score *score, size_t exercise, unsigned rungs[TEMPO_RUNGS_MAX]);

/* Some tempo is a goal: the caution is shown. */
bool caution_shown(const struct score *score);

#endif
