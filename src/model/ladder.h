#ifndef RATAMARK_MODEL_LADDER_H
#define RATAMARK_MODEL_LADDER_H
/*
 * Practice ladders: which exercises have one, its steps, and whether the caution is shown. Page and
 * text reading show the same ones. The index exercise_count stands for the lesson's own ladder.
 */
#include "model/score.h"
#include "model/tempo.h"

/* With `ladder: limit` every exercise has a ladder up to the tempo of its verdict. If both leads
   are printed it stands below the second and uses the lower verdict. NULL: no ladder here. */
const struct verdict *ladder_verdict(const struct score *score, size_t exercise);

/* The lesson's ladder is at its end. An exercise with its own tempo has its own ladder, only
   one if both leads are printed. */
bool ladder_shown(const struct score *score, size_t exercise);

/* The steps of a ladder that is shown, in beats a minute; returns how many. */
size_t ladder_rungs(const struct score *score, size_t exercise, unsigned rungs[TEMPO_RUNGS_MAX]);

/* Whether the sheet has more than one: each then names its exercises. */
bool ladders_several(const struct score *score);

/* Whether the exercise is practised on this ladder. */
bool ladder_is_for(const struct score *score, size_t ladder, size_t exercise);

/* True if some tempo is a goal. */
bool caution_shown(const struct score *score);

#endif
