#ifndef RATAMARK_COURSE_INDEX_FACTS_H
#define RATAMARK_COURSE_INDEX_FACTS_H
/* What the index says of a lesson, in words. */
#include "base/buffer.h"
#include "model/score.h"

/* The tempi of its exercises from the slowest to the fastest, for each beat that they count:
   "60–96, dotted eighths 72". Nothing where no tempo is given. */
void index_tempo(const struct score *score, struct buffer *out);

/* What its picture shows: the first exercise that has bars, and the sticking of the first one. */
void index_picture_text(const struct score *score, struct buffer *out);

#endif
