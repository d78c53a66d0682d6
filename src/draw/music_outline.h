#ifndef RATAMARK_DRAW_MUSIC_OUTLINE_H
#define RATAMARK_DRAW_MUSIC_OUTLINE_H
/* The real ink of a sign in slices: what layout needs so that heads, stems and parentheses may
   interlock (model/metrics.h says what a slice is). */
#include "model/metrics.h"

#include <hb.h>

enum { OUTLINE_EXTENTS_MAX = 2 * GLYPH_SLICES_MAX };

/* Slices the sign at `index` of a font. Writes its extents, rows first, and where they lie, counted
   from `first`. Returns how many; 0, and no slices, for a sign without ink. */
size_t music_outline_slice(hb_font_t *font, unsigned long index, size_t first,
                           struct extent extents[OUTLINE_EXTENTS_MAX], struct glyph_metrics *glyph);

#endif
