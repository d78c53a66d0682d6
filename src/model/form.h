#ifndef RATAMARK_MODEL_FORM_H
#define RATAMARK_MODEL_FORM_H
/*
 * A practice form written out, to be read and not to be played (order.h plays forms): the bars of
 * the exercises it names, in its order, each anew where something else came between, and where it
 * follows itself as a bar repeat. `groove*3 fill`:
 *
 *     | groove |  %  |  %  | fill |
 *
 * Only a phrase is: one whose exercises have one or two plain bars, and which is not long. Of any
 * other form the names say more than bars would.
 */
#include "model/score.h"

enum { FORM_BARS_MAX = 32 }; /* bars and bar repeats */

/* The form as an exercise with bars, in the arena; NULL where it is no such phrase. */
const struct score_exercise *form_write_out(const struct score *score,
                                            const struct score_exercise *form, struct arena *arena);

#endif
