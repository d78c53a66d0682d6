#ifndef RATAMARK_COURSE_COURSE_ORDER_H
#define RATAMARK_COURSE_COURSE_ORDER_H
/* The order of lessons that course files ask for. */
#include "course/course_tree.h"

/* Reorders the tree's lessons, which are sorted by name, and removes those that a course file
   leaves out. Adds findings for names that match no file or are listed twice. */
void course_tree_order(struct course_tree *tree);

#endif
