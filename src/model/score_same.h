#ifndef RATAMARK_MODEL_SCORE_SAME_H
#define RATAMARK_MODEL_SCORE_SAME_H
/* Whether two scores say, print and sound the same. Only the places in their files may differ. */
#include "model/score.h"

bool score_same(const struct score *a, const struct score *b);

#endif
