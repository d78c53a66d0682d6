#ifndef RATAMARK_MODEL_FORM_H
#define RATAMARK_MODEL_FORM_H
/*
 * A practice form written out for the page (for sound see playback.h): the bars of the exercises it
 * names, in its order. An exercise that follows itself becomes a bar repeat. `groove*3 fill`:
 *
 *     | groove |  %  |  %  | fill |
 *
 * This is done only for a phrase: a short form of exercises with one or two plain bars each. For
 * any other form the names of the exercises are clearer.
 */
#include "model/shown_bars.h"

enum { FORM_BARS_MAX = 32 }; /* bars and bar repeats */

/* The form as an exercise with bars, in the arena; NULL if it is not such a phrase. `repeats`: what
   an exercise that follows itself becomes. */
const struct score_exercise *form_write_out(const struct score *score,
                                            const struct score_exercise *form,
                                            enum shown_repeats repeats, struct arena *arena);
/* The exercise with hands and feet as one line in each bar that has them so; itself if none has. */
const struct score_exercise *exercise_as_one_voice(const struct score_exercise *exercise,
                                                   struct arena *arena);

#endif
