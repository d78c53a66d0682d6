#ifndef RATAMARK_MODEL_JUMPS_H
#define RATAMARK_MODEL_JUMPS_H
/* The one jump that an exercise may have, and the bars that it has to do with. */
#include "model/score.h"

#define NO_BAR UINT32_MAX

/* Indices among the exercise's bars; NO_BAR: there is no such bar. */
struct jumps {
    uint32_t segno, coda, fine, to_coda, jump;
};

/* The last bar of each kind. */
struct jumps jumps_of(const struct score_exercise *exercise);

#endif
