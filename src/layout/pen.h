#ifndef RATAMARK_LAYOUT_PEN_H
#define RATAMARK_LAYOUT_PEN_H
/*
 * The pen writes marks into a list, each with its ink box and its owner. If it has a skyline, it
 * records their ink there as well.
 */
#include "base/vector.h"
#include "layout/skyline.h"
#include "model/page.h"

struct pen {
    const struct metrics *metrics;
    VECTOR(struct mark) marks;
    struct skyline *skyline; /* NULL: ink is not recorded */
    struct mark_owner owner; /* of what is written next */
};

static inline struct mark_owner mark_owner(uint32_t exercise, unsigned line, uint32_t bar,
                                           uint32_t stroke)
{
    return (struct mark_owner){exercise & OWNER_NONE, line & 0xFF, bar, stroke};
}

void pen_glyph(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y);
void pen_glyph_scaled(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y,
                      int scale);
/* A straight line with square ends. */
void pen_line(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width);
void pen_horizontal(struct pen *pen, enum mark_role role, sp left, sp right, sp y, sp width);
void pen_upright(struct pen *pen, enum mark_role role, sp x, sp from, sp to, sp width);
void pen_beam(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width);
/* A tie or slur; `curve` is the height of its middle above the ends (negative: below). */
void pen_curve(struct pen *pen, enum mark_role role, struct point from, struct point to, sp curve);
void pen_ring(struct pen *pen, enum mark_role role, struct point centre, sp radius, sp width);
void pen_box(struct pen *pen, enum mark_role role, struct box box, sp width);
/* Set text with its origin at (x, y), on its baseline. Returns its advance. */
sp pen_label(struct pen *pen, enum mark_role role, label_id label, sp x, sp y);
/* Text made smaller, its ink centred on a point. */
void pen_label_scaled(struct pen *pen, enum mark_role role, label_id label, struct point centre,
                      int scale);
/* A copy of marks that were written before. */
void pen_copy(struct pen *pen, const struct mark *marks, size_t count);

/* The ink box of marks; inside out if there are none. */
struct box marks_box(const struct mark *marks, size_t count);
void marks_move(struct mark *marks, size_t count, sp x, sp y);
/* Moves what is noted of a system, but not its marks and columns. */
void system_move(struct page_system *system, sp x, sp y);

#endif
