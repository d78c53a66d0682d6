#ifndef RATAMARK_TESTS_RANDOM_LESSON_H
#define RATAMARK_TESTS_RANDOM_LESSON_H
/* Valid lessons made by chance, the same for the same seed on every machine: grids in every
   subdivision, rhythm bars with nested tuplets and ties, graces, marks, feet, odd meters. */
#include "base/buffer.h"

void random_lesson(unsigned seed, struct buffer *out);

#endif
