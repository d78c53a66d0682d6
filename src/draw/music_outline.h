#ifndef RATAMARK_DRAW_MUSIC_OUTLINE_H
#define RATAMARK_DRAW_MUSIC_OUTLINE_H
/* The real ink of a sign, cut into slices: what layout needs so that heads, stems and parentheses
   may interlock (model/metrics.h says what a slice is). */
#include "model/metrics.h"

#include <ft2build.h>
#include FT_FREETYPE_H

enum { OUTLINE_EXTENTS_MAX = 2 * GLYPH_SLICES_MAX };

/* Slices the sign at `index` of a font of any size: writes its extents, rows first, and how they
   lie, counted from `first`. Returns how many; 0, and no slices, for a sign without ink. */
size_t music_outline_slice(FT_Face font, unsigned long index, size_t first,
                           struct extent extents[OUTLINE_EXTENTS_MAX], struct glyph_metrics *glyph);

#endif
