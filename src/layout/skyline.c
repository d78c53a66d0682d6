#include "layout/skyline.h"

#include "base/arena.h"
#include "layout/geometry.h"

/*
 * The ink is that of the outlines, not of their boxes: a flag's tip does not count over the whole
 * flag, nor the bow of a tie at its ends. A bucket is a quarter of a space wide, as a slice of a
 * sign is. That is finer than any gap of the house, so rounding outwards costs nothing to the eye.
 */
enum { BUCKET = GLYPH_SLICE };

void skyline_open(struct skyline *skyline, sp width)
{
    skyline->count = width / BUCKET + 1;
    skyline->top = memory_alloc((size_t)skyline->count * sizeof *skyline->top);
    skyline->bottom = memory_alloc((size_t)skyline->count * sizeof *skyline->bottom);
}

void skyline_widen(struct skyline *skyline, sp width)
{
    if (width / BUCKET < skyline->count)
        return;
    skyline_close(skyline);
    skyline_open(skyline, width);
}

void skyline_close(struct skyline *skyline)
{
    memory_free(skyline->top);
    memory_free(skyline->bottom);
}

void skyline_reset(struct skyline *skyline, sp top, sp bottom)
{
    for (int i = 0; i < skyline->count; i++) {
        skyline->top[i] = top;
        skyline->bottom[i] = bottom;
    }
}

static int bucket(const struct skyline *skyline, sp x)
{
    int index = x / BUCKET;
    return index < 0 ? 0 : index >= skyline->count ? skyline->count - 1 : index;
}

void skyline_add(struct skyline *skyline, struct box box)
{
    int end = bucket(skyline, box.right);
    for (int i = bucket(skyline, box.left); i <= end; i++) {
        if (skyline->top[i] > box.top)
            skyline->top[i] = box.top;
        if (skyline->bottom[i] < box.bottom)
            skyline->bottom[i] = box.bottom;
    }
}

/* Ink [top, bottom] over [left, right): it does not reach into the bucket that begins at `right`.
 */
static void stretch_add(struct skyline *skyline, sp left, sp right, sp top, sp bottom)
{
    skyline_add(skyline, (struct box){left, top, right - 1, bottom});
}

void skyline_add_sign(struct skyline *skyline, const struct metrics *metrics, enum glyph glyph,
                      struct point at, int scale)
{
    struct slices columns = metrics->glyphs[glyph].columns;
    const struct extent *extents = metrics->extents + columns.first;
    for (int i = 0; i < columns.count; i++) {
        if (extents[i].high < extents[i].low)
            continue;
        sp left = at.x + sp_scaled((columns.from + i) * GLYPH_SLICE, scale);
        stretch_add(skyline, left, left + sp_scaled(GLYPH_SLICE, scale),
                    at.y + sp_scaled(extents[i].low, scale),
                    at.y + sp_scaled(extents[i].high, scale));
    }
}

/* The height at `along` of a straight line that rises by `rise` over `run`. */
static sp height_at(sp rise, sp along, sp run)
{
    return (sp)((int64_t)rise * along / run);
}

void skyline_add_slant(struct skyline *skyline, struct point from, struct point to, sp half)
{
    if (from.x > to.x) {
        struct point swapped = from;
        from = to;
        to = swapped;
    }
    sp run = to.x - from.x, rise = to.y - from.y;
    for (sp along = 0; along < run; along += BUCKET) {
        sp next = sp_min(along + BUCKET, run);
        sp a = from.y + height_at(rise, along, run), b = from.y + height_at(rise, next, run);
        stretch_add(skyline, from.x + along, from.x + next, sp_min(a, b) - half,
                    sp_max(a, b) + half);
    }
}

/* How far a curve's outer edge is out at x, from the line between its ends. A parabola: the cubic
   arc that is drawn has its control points at thirds. */
static sp curve_reach(sp run, sp along, sp height)
{
    return (sp)((int64_t)4 * height * along / run * (run - along) / run);
}

void skyline_add_curve(struct skyline *skyline, struct point from, struct point to, sp curve,
                       sp half)
{
    sp run = to.x - from.x, middle = run / 2, height = (curve < 0 ? -curve : curve) + half;
    for (sp along = 0; along < run; along += BUCKET) {
        sp next = sp_min(along + BUCKET, run);
        sp highest = along >= middle ? along : sp_min(middle, next);
        sp reach = curve_reach(run, highest, height) + half;
        sp a = from.y + height_at(to.y - from.y, along, run);
        sp b = from.y + height_at(to.y - from.y, next, run);
        stretch_add(skyline, from.x + along, from.x + next,
                    sp_min(a, b) - (curve > 0 ? reach : half),
                    sp_max(a, b) + (curve > 0 ? half : reach));
    }
}

sp skyline_top(const struct skyline *skyline, sp left, sp right)
{
    int end = bucket(skyline, right);
    sp top = INT32_MAX;
    for (int i = bucket(skyline, left); i <= end; i++)
        top = sp_min(top, skyline->top[i]);
    return top;
}

sp skyline_bottom(const struct skyline *skyline, sp left, sp right)
{
    int end = bucket(skyline, right);
    sp bottom = INT32_MIN;
    for (int i = bucket(skyline, left); i <= end; i++)
        bottom = sp_max(bottom, skyline->bottom[i]);
    return bottom;
}
