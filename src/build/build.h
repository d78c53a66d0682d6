#ifndef RATAMARK_BUILD_BUILD_H
#define RATAMARK_BUILD_BUILD_H
/*
 * From a lesson to its score: grids and count addresses become note values and rests,
 * rhythm lines become tuplets and leaves, strokes and voices find their notes. What does not add
 * up (bar-length, beat-length, stroke-count, voice-count, unknown-count, no-stroke, limb-clash ...)
 * is added to the list at its place; a bar that cannot be built is left out of the score.
 */
#include "diag/diag.h"
#include "model/score.h"

/* Never NULL. The score lives in the lesson's arena and may be drawn only if diags has no error. */
struct score *build_score(const struct lesson *lesson, struct diags *diags);

/* Swaps right and left in the whole score, hands and feet, if `other_player`; otherwise the sides
   are those of the lesson. Call it as often as you like. The kit is the lesson's: mirror it, too.
 */
void score_mirror(struct score *score, bool other_player);

#endif
