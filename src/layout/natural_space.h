#ifndef RATAMARK_LAYOUT_NATURAL_SPACE_H
#define RATAMARK_LAYOUT_NATURAL_SPACE_H
/* How far the columns of a bar stand apart before ink and margins have their say. */
#include "layout/work.h"

/* Sets the natural lengths of the bar's springs, and the shortest value of each of its columns. */
void natural_space_set(struct work *work, struct set_bar *set);

#endif
