#ifndef RATAMARK_COURSE_INDEX_FACTS_H
#define RATAMARK_COURSE_INDEX_FACTS_H
/* What the index says about a lesson, in words. */
#include "base/buffer.h"
#include "model/score.h"

/* The range of tempos of its exercises, for each unit of beat: "60–96, dotted eighths 72". Nothing
   if no tempo is given. */
void index_tempo(const struct score *score, struct buffer *out);

/* What its picture shows: the first exercise with bars, and the sticking of its first bar. */
void index_picture_text(const struct score *score, struct buffer *out);

#endif
