#include "layout/pen.h"

#include "layout/geometry.h"

static struct mark *pen_mark(struct pen *pen, enum mark_role role, enum mark_shape shape,
                             struct box ink)
{
    struct mark *mark = vector_push(&pen->marks, NULL);
    mark->role = (uint8_t)role;
    mark->shape = (uint8_t)shape;
    mark->owner = pen->owner;
    mark->box = ink;
    return mark;
}

void pen_glyph_scaled(struct pen *pen, enum mark_role role, enum glyph glyph, sp x, sp y, int scale)
{
    struct box ink = box_scaled(pen->metrics->glyphs[glyph].ink, scale);
    struct mark *mark = pen_mark(pen, role, SHAPE_GLYPH, box_moved(ink, x, y));
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

static struct mark *pen_stroke(struct pen *pen, enum mark_role role, enum mark_shape shape,
                               struct box ink, struct point from, struct point to, sp width)
{
    struct mark *mark = pen_mark(pen, role, shape, ink);
    mark->as.ends.from = from;
    mark->as.ends.to = to;
    mark->with.width = width;
    return mark;
}

/* Records a line or beam in the skyline; `half` is half its thickness. */
static void straight_add(const struct pen *pen, struct box ink, struct point from, struct point to,
                         sp half)
{
    if (pen->skyline && (from.x == to.x || from.y == to.y))
        skyline_add(pen->skyline, ink);
    else if (pen->skyline)
        skyline_add_slant(pen->skyline, from, to, half);
}

void pen_line(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width)
{
    sp half = width / 2;
    sp across = from.y == to.y ? 0 : half, along = from.x == to.x ? 0 : half;
    struct box ink = {sp_min(from.x, to.x) - across, sp_min(from.y, to.y) - along,
                      sp_max(from.x, to.x) + across, sp_max(from.y, to.y) + along};
    pen_stroke(pen, role, SHAPE_LINE, ink, from, to, width);
    straight_add(pen, ink, from, to, half);
}

void pen_horizontal(struct pen *pen, enum mark_role role, sp left, sp right, sp y, sp width)
{
    pen_line(pen, role, (struct point){left, y}, (struct point){right, y}, width);
}

void pen_upright(struct pen *pen, enum mark_role role, sp x, sp from, sp to, sp width)
{
    pen_line(pen, role, (struct point){x, from}, (struct point){x, to}, width);
}

void pen_beam(struct pen *pen, enum mark_role role, struct point from, struct point to, sp width)
{
    sp half = width / 2;
    struct box ink = {from.x, sp_min(from.y, to.y) - half, to.x, sp_max(from.y, to.y) + half};
    pen_stroke(pen, role, SHAPE_BEAM, ink, from, to, width);
    straight_add(pen, ink, from, to, half);
}

void pen_curve(struct pen *pen, enum mark_role role, struct point from, struct point to, sp curve)
{
    sp thick = pen->metrics->defaults->tie_middle, half = thick / 2;
    sp top = sp_min(from.y, to.y), bottom = sp_max(from.y, to.y);
    struct box ink = {from.x, curve > 0 ? top - curve - half : top, to.x,
                      curve > 0 ? bottom : bottom - curve + half};
    pen_stroke(pen, role, SHAPE_CURVE, ink, from, to, thick)->curve = (int16_t)curve;
    if (pen->skyline)
        skyline_add_curve(pen->skyline, from, to, curve, half);
}

void pen_ring(struct pen *pen, enum mark_role role, struct point centre, sp radius, sp width)
{
    struct box middle = {centre.x, centre.y, centre.x, centre.y};
    struct mark *mark = pen_mark(pen, role, SHAPE_RING, box_grown(middle, radius + width / 2));
    mark->as.at = centre;
    mark->with.width = width;
    mark->radius = radius;
}

void pen_box(struct pen *pen, enum mark_role role, struct box box, sp width)
{
    pen_stroke(pen, role, SHAPE_BOX, box_grown(box, width / 2), (struct point){box.left, box.top},
               (struct point){box.right, box.bottom}, width);
}

sp pen_label(struct pen *pen, enum mark_role role, label_id label, sp x, sp y)
{
    struct label_metrics metrics = *metrics_of_label(pen->metrics, label);
    struct box ink = box_moved(metrics.ink, x, y);
    struct mark *mark = pen_mark(pen, role, SHAPE_LABEL, ink);
    mark->as.at = (struct point){x, y};
    mark->with.label = label;
    if (pen->skyline)
        skyline_add(pen->skyline, ink);
    return metrics.advance;
}

void pen_label_scaled(struct pen *pen, enum mark_role role, label_id label, struct point centre,
                      int scale)
{
    struct box ink = box_scaled(metrics_of_label(pen->metrics, label)->ink, scale);
    sp x = centre.x - box_middle_x(ink), y = centre.y - box_middle_y(ink);
    struct mark *mark = pen_mark(pen, role, SHAPE_LABEL, box_moved(ink, x, y));
    mark->as.at = (struct point){x, y};
    mark->with.label = label;
    mark->scale = (uint16_t)(scale == 1000 ? 0 : scale);
}

void pen_copy(struct pen *pen, const struct mark *marks, size_t count)
{
    vector_reserve(&pen->marks, pen->marks.count + count, NULL);
    if (count)
        memcpy(pen->marks.items + pen->marks.count, marks, count * sizeof *marks);
    pen->marks.count += count;
}

struct box marks_box(const struct mark *marks, size_t count)
{
    struct box box = {INT32_MAX, INT32_MAX, INT32_MIN, INT32_MIN};
    for (size_t i = 0; i < count; i++)
        box = box_joined(box, marks[i].box);
    return box;
}

void marks_move(struct mark *marks, size_t count, sp x, sp y)
{
    for (struct mark *mark = marks; mark < marks + count; mark++) {
        mark->box = box_moved(mark->box, x, y);
        mark->as.at.x += x; /* or one of its two ends */
        mark->as.at.y += y;
        if (mark_has_ends(mark)) {
            mark->as.ends.to.x += x;
            mark->as.ends.to.y += y;
        }
    }
}

void system_move(struct page_system *system, sp x, sp y)
{
    system->column_left += x;
    system->column_right += x;
    system->left += x;
    system->right += x;
    system->box = box_moved(system->box, x, y);
    system->staff_top += y;
    system->staff_bottom += y;
    for (int row = 0; row < PAGE_ROWS; row++)
        system->baselines[row] += system->baselines[row] ? y : 0;
}
