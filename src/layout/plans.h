#ifndef RATAMARK_LAYOUT_PLANS_H
#define RATAMARK_LAYOUT_PLANS_H
/* From the breaks that pages.c finds to pages: which blocks they show, how their gaps share the
   height that is left, and where each heading stands. */
#include "layout/blocks.h"

struct page_plan {
    uint32_t first, end; /* of the placed blocks */
    struct page_fill fill;
};

struct heading_place {
    uint32_t page; /* 0: not printed */
    sp y;
};

void pages_break(struct layout *layout);
/* White before a block of a page, with its share of the height that is left. */
sp page_gap(const struct page_plan *plan, const struct block *block, bool first);

#endif
