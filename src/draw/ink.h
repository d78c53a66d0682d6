#ifndef RATAMARK_DRAW_INK_H
#define RATAMARK_DRAW_INK_H
/* From marks to ink on a cairo context, in few large strokes: marks of one kind go to cairo
   together. */
#include "base/arena.h"
#include "draw/faces.h"

#include <cairo.h>

/* Inks a page. The context's unit is the point, its origin the page's top left corner, its source
   is set here. On a target of alpha alone the ink is its amount. With `tags` (NULL: without) the
   page is given its structure. `scratch` is for what lasts as long as the call. */
struct tags;
void ink_page(cairo_t *cairo, const struct faces *faces, const struct page *page, struct tags *tags,
              struct arena *scratch);

#endif
