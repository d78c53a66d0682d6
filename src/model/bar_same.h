#ifndef RATAMARK_MODEL_BAR_SAME_H
#define RATAMARK_MODEL_BAR_SAME_H
/* Whether bars say the same: the notes of a line, and what counts mean. */
#include "model/score.h"

/* Whether counts mean the same in both bars. */
bool same_ground(const struct score_bar *a, const struct score_bar *b);
/* Whether the lines have the same notes and rests. */
bool same_line(const struct score_bar *a, const struct score_bar *b, int line);

#endif
