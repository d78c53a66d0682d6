#ifndef RATAMARK_COURSE_COURSE_ORDER_H
#define RATAMARK_COURSE_COURSE_ORDER_H
/* The order of a course's lessons, where its course files ask for another than that of the names.
 */
#include "course/course_tree.h"

/* Puts the tree's lessons, which come in the order of their names, into the course's order, and
   takes out those that a course file leaves out. What `order` lists twice or in vain is added to
   the tree's findings. */
void course_tree_order(struct course_tree *tree);

#endif
