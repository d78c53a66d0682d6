#ifndef RATAMARK_COURSE_COURSE_SHARE_H
#define RATAMARK_COURSE_COURSE_SHARE_H
/* Which lessons of a course are made by one of several machines that know nothing of each other. */
#include "course/course_out.h"
#include "course/course_tree.h"

/* What a lesson costs to make, about, in bytes of lesson: the file, and what every document costs
   whatever is in it (measured: tests/bench/README.md). */
uint64_t course_cost(const struct course_lesson *lesson);

/* Sets mine[i] where lesson `i` belongs to the share. Each lesson, from the dearest to the
   cheapest, goes to the share that has least to do by then: the same on every machine that sees the
   same files, and even but for the cost of the last lessons. */
void course_share_choose(const struct course_tree *tree, struct course_share share, bool *mine);

#endif
