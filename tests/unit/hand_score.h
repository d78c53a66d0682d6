#ifndef RATAMARK_TESTS_HAND_SCORE_H
#define RATAMARK_TESTS_HAND_SCORE_H
/*
 * Scores built by hand, for tests of the layout alone. A line of a bar is written in words:
 *
 *     16Rs> 16Ls 8Rh 4- 3:2[ 8Rs 8Ls 8Rs ]
 *
 * value, dots, then `-` for a rest or the letter (R L B, or `*` for none), then a voice (s snare,
 * h hi-hat, o open hi-hat, r ride, c crash, t floor tom, m mid tom, H high tom, b bass drum, f
 * hi-hat foot), then marks: > ^ / z + and ( for a ghost, ~ tied on, g one grace, G two graces.
 */
#include "model/score.h"

/* A lesson with one exercise of no bars yet, all settings default. */
struct score *hand_score(struct arena *arena);
/* Adds an exercise. */
struct score_exercise *hand_exercise(struct score *score, const char *title);
/* Adds a bar of 4/4 to the last exercise. NULL lines are empty. Counts stand on every hands' note
   when `counts` is true: the number on beats, "&" elsewhere. */
struct score_bar *hand_bar(struct score *score, const char *hands, const char *feet, bool counts);

#endif
