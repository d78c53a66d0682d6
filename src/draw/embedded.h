#ifndef RATAMARK_DRAW_EMBEDDED_H
#define RATAMARK_DRAW_EMBEDDED_H
/* The music face inside the program: the bytes of fonts/Ratamark.otf (written by fonts/embed.c),
   and what its SMuFL metadata fonts/Ratamark.json and its outlines say of the signs that are used
   (written by fonts/face_table.c). */
#include "model/metrics.h"

#include <stddef.h>

extern const unsigned char embedded_face[];
extern const size_t embedded_face_size;

extern const struct engraving_defaults embedded_defaults;
extern const struct glyph_metrics embedded_glyphs[GLYPH_COUNT];
extern const struct extent embedded_extents[];
extern const size_t embedded_extent_count;

#endif
