#ifndef RATAMARK_COURSE_COURSE_ORDER_H
#define RATAMARK_COURSE_COURSE_ORDER_H
/* The order of lessons that course files ask for. */
#include "course/course_tree.h"

/* Reorders the tree's lessons, which are sorted by name, and removes those that a course file
   leaves out. Reports an entry that matches no file, or whose lessons are all listed or left out
   already, as an error in the course file: a typing slip could publish a draft, so nothing is made
   until it is mended. */
void course_tree_order(struct course_tree *tree);

#endif
