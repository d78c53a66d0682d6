#ifndef RATAMARK_TESTS_GENERATE_H
#define RATAMARK_TESTS_GENERATE_H
/*
 * Random valid lessons: the text of a lesson file that uses the constructs of the format, another
 * for every seed and always the same for the same seed. Reading, building and checking one gives no
 * error (warnings and notes it may give). Over some hundreds of seeds every construct comes up.
 */
#include "base/arena.h"

#include <stdint.h>

char *generate_lesson(struct arena *arena, uint64_t seed);

#endif
