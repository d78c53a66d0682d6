#ifndef RATAMARK_COURSE_COURSE_ORDER_H
#define RATAMARK_COURSE_COURSE_ORDER_H
/* The order of lessons that course files ask for. */
#include "course/course_tree.h"

/* Reorders the tree's lessons, which are sorted by name, and removes those that a course file
   leaves out. Names that match no file, or that are listed in vain, become errors of their course
   file: a slip would publish a draft, so nothing is made with it. */
void course_tree_order(struct course_tree *tree);

#endif
