#ifndef RATAMARK_CHECK_CHECK_H
#define RATAMARK_CHECK_CHECK_H
/* Checks of the whole score: a limb in two places at once, a sticking that a repeat cuts short. */
#include "diag/diag.h"
#include "model/score.h"

/* Adds limb-clash errors, sticking-open warnings, and a sticking-cycle note for each exercise. */
void check_score(const struct score *score, struct diags *diags);

/* Adds a named-hand warning for the first text that names a hand, in a copy for a player of the
   other hand; it says how many more do. */
void check_named_hands(const struct score *score, struct diags *diags);

/* Adds a note for each sticking that is or contains a rudiment, starting on any of its strokes and
   with either hand. */
void check_stickings(const struct score *score, struct diags *diags);

/* What an exercise's stickings are: "single paradiddle", "6 strokes"; NULL without any. */
const char *check_sticking_words(const struct score_exercise *exercise, struct arena *arena);

#endif
