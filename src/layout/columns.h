#ifndef RATAMARK_LAYOUT_COLUMNS_H
#define RATAMARK_LAYOUT_COLUMNS_H
/* From a bar of the score to columns of notes with springs between them. */
#include "layout/work.h"

/* Adds a bar of the exercise to the work. Valid until the next one. */
struct set_bar *columns_add_bar(struct layout *layout, const struct staff *staff, uint32_t index);

#endif
