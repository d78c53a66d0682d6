#ifndef RATAMARK_COURSE_COURSE_SHARE_H
#define RATAMARK_COURSE_COURSE_SHARE_H
/* Divides a course among machines that know nothing of each other. */
#include "course/course_out.h"
#include "course/course_tree.h"

/* Roughly what a lesson costs to make, in bytes of lesson: the size of its file and the fixed cost
   of any document (measured: tests/bench/README.md). */
uint64_t course_cost(const struct course_lesson *lesson);

/* Sets mine[i] if lesson `i` belongs to the share. Each lesson, from the costliest to the cheapest,
   goes to the share with the least to do so far. Every machine with the same files gets the same
   result, and shares differ by no more than the cost of the last lessons. */
void course_share_choose(const struct course_tree *tree, struct course_share share, bool *mine);

#endif
