#ifndef RATAMARK_FUZZ_TIDIED_H
#define RATAMARK_FUZZ_TIDIED_H
/* What must hold of a right lesson that is put into the house's layout: it says the same, its score
   is the same, and a second time changes nothing. */
#include "model/score.h"
#include "read/read.h"

void tidy_lesson(struct arena *arena, struct read_source source,
                 const struct course_context *course, const struct score *score);

#endif
