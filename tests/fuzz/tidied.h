#ifndef RATAMARK_FUZZ_TIDIED_H
#define RATAMARK_FUZZ_TIDIED_H
/* Tidying a correct lesson must keep its data and its score, and tidying it again must change
 * nothing. */
#include "model/score.h"
#include "read/read.h"

void tidy_lesson(struct arena *arena, struct read_source source,
                 const struct course_context *course, const struct score *score);

#endif
