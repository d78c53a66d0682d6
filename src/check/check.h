#ifndef RATAMARK_CHECK_CHECK_H
#define RATAMARK_CHECK_CHECK_H
/* What can be said of a whole score: limbs in two places, cycles that do not come home. */
#include "diag/diag.h"
#include "model/score.h"

/* Adds limb-clash errors, sticking-open warnings and a sticking-cycle note an exercise. */
void check_score(const struct score *score, struct diags *diags);

/* Adds notes of the rudiments in the lesson's stickings, begun anywhere and with either hand. */
void check_stickings(const struct score *score, struct diags *diags);

#endif
