#ifndef RATAMARK_LAYOUT_PAGES_H
#define RATAMARK_LAYOUT_PAGES_H
/* Where pages break, which exercises stand side by side, and what each page then shows. */
#include "layout/blocks.h"

/* Two exercises that may stand side by side: in place of blocks [first, end) their duo. */
struct choice {
    uint32_t first, end;
    struct block duo;
    double cost; /* of the duo itself; negative: better than one below the other */
};

/* What pages are made of, in order. Choices by their `first`, at most one for each block. Of those
   that overlap at most one is taken. */
struct page_matter {
    const struct block *blocks;
    size_t count;
    const struct choice *choices;
    size_t choice_count;
    sp height;        /* of a page's text */
    double page_cost; /* of each page */
};

/* What blocks and gaps of a page take: as they are, and what the gaps may grow and shrink by. */
struct page_height {
    double full, growth, shrink;
};

/* The least-cost pages: ends[k] is the block after page k's last, taken[c] whether choice c is
   taken. Returns how many pages. */
size_t pages_find(const struct page_matter *matter, uint32_t *ends, bool *taken);

/* One page of blocks [first, end) with the choices that are taken. The cost is INFINITY where they
   do not fit, unless it is one alone. */
double page_cost(const struct page_matter *matter, const bool *taken, size_t first, size_t end);
struct page_height page_height(const struct page_matter *matter, const bool *taken, size_t first,
                               size_t end);

/* ---- casting.c ------------------------------------------------------------------------------ */

struct cast_page {
    uint32_t first, end; /* of the placed blocks */
    struct page_fill fill;
};

struct heading_place {
    uint32_t page; /* 0: not printed */
    sp y;
};

/* From the breaks to pages: which blocks they show, how their gaps share the height that is left,
   and where each heading stands. */
void pages_break(struct layout *layout);
/* White before a block of a page, with its share of the height that is left. */
sp page_gap(const struct cast_page *cast, const struct block *block, bool first);

#endif
