#ifndef RATAMARK_MODEL_SWING_H
#define RATAMARK_MODEL_SWING_H
/* When straight-written strokes are played under swing: for sound and playability. */
#include "model/score.h"

bool swing_is_straight(const struct score_bar *bar);

/* Where a leaf begins and ends in its bar. */
struct swung_time {
    struct fraction from, to;
};
struct swung_time swing_leaf(const struct score_bar *bar, const struct score_line *line,
                             const struct leaf *leaf);

/* When a moment of the bar is played: as the leaf that begins on it, if there is one. */
struct fraction swing_moment(const struct score_bar *bar, struct fraction at);

#endif
