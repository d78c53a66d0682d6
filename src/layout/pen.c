#include "layout/layout_int.h"

void *row_grow(void *items, size_t *room, size_t size)
{
    *room = *room ? *room * 2 : 64;
    return memory_resize(items, *room * size);
}

static struct mark *pen_mark(struct pen *pen, enum mark_role role, enum mark_shape shape,
                             struct box box)
{
    struct mark *mark = row_push(pen->marks, pen->count, pen->room);
    mark->role = (uint8_t)role;
    mark->shape = (uint8_t)shape;
    mark->owner = pen->owner;
    mark->box = box;
    return mark;
}

static sp scaled(sp length, int scale)
{
    return (sp)((int64_t)length * scale / 1000);
}

void pen_glyph_scaled(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y, int scale)
{
    struct box ink = pen->metrics->glyphs[glyph].ink;
    if (scale != 1000)
        ink = (struct box){scaled(ink.left, scale), scaled(ink.top, scale),
                           scaled(ink.right, scale), scaled(ink.bottom, scale)};
    struct box box = {x + ink.left, y + ink.top, x + ink.right, y + ink.bottom};
    struct mark *mark = pen_mark(pen, role, SHAPE_GLYPH, box);
    mark->glyph = (uint16_t)glyph;
    mark->scale = (uint16_t)scale;
    mark->as.at = (struct point){x, y};
    if (pen->skyline)
        skyline_add_sign(pen->skyline, pen->metrics, glyph, mark->as.at, scale);
}

void pen_glyph(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y)
{
    pen_glyph_scaled(pen, role, glyph, x, y, 1000);
}

void pen_line(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width)
{
    sp half = width / 2;
    sp across = from.y == to.y ? 0 : half, along = from.x == to.x ? 0 : half;
    struct box box = {sp_min(from.x, to.x) - across, sp_min(from.y, to.y) - along,
                      sp_max(from.x, to.x) + across, sp_max(from.y, to.y) + along};
    struct mark *mark = pen_mark(pen, role, SHAPE_LINE, box);
    mark->as.span.from = from;
    mark->as.span.to = to;
    mark->with.width = width;
    if (pen->skyline && (from.x == to.x || from.y == to.y))
        skyline_add(pen->skyline, box);
    else if (pen->skyline)
        skyline_add_slant(pen->skyline, from, to, half);
}

void pen_beam(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width)
{
    struct box box = {from.x, sp_min(from.y, to.y) - width / 2, to.x,
                      sp_max(from.y, to.y) + width / 2};
    struct mark *mark = pen_mark(pen, role, SHAPE_BEAM, box);
    mark->as.span.from = from;
    mark->as.span.to = to;
    mark->with.width = width;
    if (pen->skyline && from.y == to.y)
        skyline_add(pen->skyline, box);
    else if (pen->skyline)
        skyline_add_slant(pen->skyline, from, to, width / 2);
}

void pen_curve(struct pen *pen, enum mark_role role, struct point from, struct point to, sp curve)
{
    sp thick = pen->defaults->tie_middle;
    sp top = sp_min(from.y, to.y), bottom = sp_max(from.y, to.y);
    struct box box = {from.x, curve > 0 ? top - curve - thick / 2 : top, to.x,
                      curve > 0 ? bottom : bottom - curve + thick / 2};
    struct mark *mark = pen_mark(pen, role, SHAPE_CURVE, box);
    mark->curve = (int16_t)curve;
    mark->as.span.from = from;
    mark->as.span.to = to;
    mark->with.width = thick;
    if (pen->skyline)
        skyline_add_curve(pen->skyline, from, to, curve, thick / 2);
}

void pen_ring(struct pen *pen, enum mark_role role, struct point centre, sp radius, sp width)
{
    sp reach = radius + width / 2;
    struct box box = {centre.x - reach, centre.y - reach, centre.x + reach, centre.y + reach};
    struct mark *mark = pen_mark(pen, role, SHAPE_RING, box);
    mark->as.at = centre;
    mark->with.width = width;
    mark->radius = radius;
}

void pen_box(struct pen *pen, enum mark_role role, struct box box, sp width)
{
    struct box ink = {box.left - width / 2, box.top - width / 2, box.right + width / 2,
                      box.bottom + width / 2};
    struct mark *mark = pen_mark(pen, role, SHAPE_BOX, ink);
    mark->as.span.from = (struct point){box.left, box.top};
    mark->as.span.to = (struct point){box.right, box.bottom};
    mark->with.width = width;
}

sp pen_label(struct pen *pen, enum mark_role role, label_id label, sp x, sp y)
{
    const struct label_metrics *metrics = metrics_of_label(pen->metrics, label);
    struct box box = {x + metrics->ink.left, y + metrics->ink.top, x + metrics->ink.right,
                      y + metrics->ink.bottom};
    sp advance = metrics->advance;
    struct mark *mark = pen_mark(pen, role, SHAPE_LABEL, box);
    if (pen->skyline)
        skyline_add(pen->skyline, box);
    mark->as.at = (struct point){x, y};
    mark->with.label = label;
    return advance;
}

struct box marks_box(const struct mark *marks, size_t first, size_t end)
{
    struct box box = {INT32_MAX, INT32_MAX, INT32_MIN, INT32_MIN};
    for (size_t i = first; i < end; i++) {
        box.left = sp_min(box.left, marks[i].box.left);
        box.top = sp_min(box.top, marks[i].box.top);
        box.right = sp_max(box.right, marks[i].box.right);
        box.bottom = sp_max(box.bottom, marks[i].box.bottom);
    }
    return box;
}

static bool mark_has_span(const struct mark *mark)
{
    return mark->shape == SHAPE_LINE || mark->shape == SHAPE_BEAM || mark->shape == SHAPE_CURVE ||
           mark->shape == SHAPE_BOX;
}

void marks_move(struct mark *marks, size_t first, size_t end, sp x, sp y)
{
    for (size_t i = first; i < end; i++) {
        struct mark *mark = &marks[i];
        mark->box.left += x;
        mark->box.right += x;
        mark->box.top += y;
        mark->box.bottom += y;
        mark->as.at.x += x; /* the span's first point as well */
        mark->as.at.y += y;
        if (mark_has_span(mark)) {
            mark->as.span.to.x += x;
            mark->as.span.to.y += y;
        }
    }
}
