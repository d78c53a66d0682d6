#ifndef RATAMARK_DRAW_GLYPH_OUTLINE_H
#define RATAMARK_DRAW_GLYPH_OUTLINE_H
/* The outline of a glyph as straight pieces, in units of the font, y up. */
#include <hb.h>

struct outline_piece {
    double x0, y0, x1, y1;
};
typedef void take_outline_piece(void *closure, struct outline_piece piece);

/* Takes each straight line, and each curve in `pieces_of_a_curve` pieces. Contours come closed. */
void glyph_outline_walk(hb_font_t *font, unsigned long glyph, int pieces_of_a_curve,
                        take_outline_piece *take, void *closure);

#endif
