#ifndef RATAMARK_LIB_PRACTICE_PAGE_H
#define RATAMARK_LIB_PRACTICE_PAGE_H
/* Gathers what a practice page shows: performances, readings, and lines of music for each width. */
#include "lib/pipeline.h"

/* Adds the page of the exercises that layout_options chooses; after STAGE_LAYOUT. False if it could
   not be performed: `problem` says why. */
bool practice_page_make(struct pipeline *work, struct buffer *out, struct buffer *problem);

#endif
