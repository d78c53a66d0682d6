#ifndef RATAMARK_DRAW_INK_H
#define RATAMARK_DRAW_INK_H
/* From marks to ink on a cairo context. Marks of one kind go to cairo together. */
#include "base/arena.h"
#include "draw/faces.h"

#include <cairo.h>

/* Inks a page. The unit of the context is the point, its origin the top left corner of the page. On
   a target that has only alpha, the alpha is the amount of ink. With `tags` (or NULL) the page gets
   its structure. `scratch` is for what lasts as long as the call. */
struct tags;
void ink_page(cairo_t *cairo, const struct faces *faces, const struct page *page, struct tags *tags,
              struct arena *scratch);

#endif
