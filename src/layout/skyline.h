#ifndef RATAMARK_LAYOUT_SKYLINE_H
#define RATAMARK_LAYOUT_SKYLINE_H
/*
 * The highest and lowest ink along a line of music: what a mark above or below must clear. Open it
 * for the page's width, reset it to the bare staff for each line, then add ink and ask.
 */
#include "model/metrics.h"

struct skyline {
    sp *top, *bottom; /* by bucket */
    int count;
};

void skyline_open(struct skyline *skyline, sp width);
/* Makes room for a line of that width. */
void skyline_widen(struct skyline *skyline, sp width);
void skyline_close(struct skyline *skyline);
/* Forgets all ink but the staff, from top to bottom. */
void skyline_reset(struct skyline *skyline, sp top, sp bottom);

void skyline_add(struct skyline *skyline, struct box box);
void skyline_add_sign(struct skyline *skyline, const struct metrics *metrics, enum glyph glyph,
                      struct point at, int scale);
/* A sloped line or beam; `half` is half its thickness. */
void skyline_add_slant(struct skyline *skyline, struct point from, struct point to, sp half);
/* A tie or slur as pen_curve() draws it. */
void skyline_add_curve(struct skyline *skyline, struct point from, struct point to, sp curve,
                       sp half);

sp skyline_top(const struct skyline *skyline, sp left, sp right);
sp skyline_bottom(const struct skyline *skyline, sp left, sp right);

#endif
