#ifndef RATAMARK_DRAW_LINKS_H
#define RATAMARK_DRAW_LINKS_H
/* Links inside a PDF, from a page to later ones. */
#include "base/vector.h"
#include "model/page.h"

#include <cairo.h>

struct links {
    VECTOR(uint32_t) targets; /* pages that links lead to; some come twice */
};

/* Marks the links of a page; `scale` is points in a thousandth of a space. */
void links_mark(struct links *links, cairo_t *cairo, const struct page *page, double scale,
                struct arena *arena);
/* Marks the present page, `number` from 1, as a target if a link leads to it. */
void links_mark_target(const struct links *links, cairo_t *cairo, uint32_t number);

#endif
