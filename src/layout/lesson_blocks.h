#ifndef RATAMARK_LAYOUT_LESSON_BLOCKS_H
#define RATAMARK_LAYOUT_LESSON_BLOCKS_H
/* Which blocks a lesson has, in their order. */
#include "layout/layout.h"

void blocks_make(struct layout *layout, struct layout_options options);

#endif
