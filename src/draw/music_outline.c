#include "draw/music_outline.h"

#include <math.h>
#include <string.h>
#include FT_OUTLINE_H

/* Straight pieces of a curve: the sagitta of a flag's longest is below a thousandth of a space. */
enum { CURVE_PIECES = 24 };

struct pen_point {
    double x, y; /* sp, y down */
};

/* One direction of cutting: along y for rows, along x for columns. */
struct cuts {
    double least[GLYPH_SLICES_MAX], most[GLYPH_SLICES_MAX];
    int from, count; /* first slice in units of GLYPH_SLICE */
    double pad;      /* a slice also takes ink this far beyond it */
};

struct slicer {
    double scale; /* thousandths of a space in a font unit: an em is four spaces (SMuFL) */
    struct pen_point at;
    struct cuts rows, columns;
};

/* ---- slices ------------------------------------------------------------------------------- */

/* `low` and `high`: where the ink begins and ends along the cut direction. */
static void cuts_open(struct cuts *cuts, double low, double high, double pad)
{
    int from = (int)floor((low - pad) / GLYPH_SLICE);
    int end = (int)ceil((high + pad) / GLYPH_SLICE);
    cuts->from = from < INT8_MIN ? INT8_MIN : from > INT8_MAX ? INT8_MAX : from;
    cuts->count = end - cuts->from;
    cuts->count = cuts->count < 1                  ? 1
                  : cuts->count > GLYPH_SLICES_MAX ? GLYPH_SLICES_MAX
                                                   : cuts->count;
    cuts->pad = pad;
    for (int i = 0; i < cuts->count; i++) {
        cuts->least[i] = INFINITY;
        cuts->most[i] = -INFINITY;
    }
}

static void take(struct cuts *cuts, int slice, double across)
{
    cuts->least[slice] = fmin(cuts->least[slice], across);
    cuts->most[slice] = fmax(cuts->most[slice], across);
}

/* A straight piece, `along` the cut direction and `across` it: what of it lies in each slice. */
static void cuts_add(struct cuts *cuts, double along_a, double across_a, double along_b,
                     double across_b)
{
    double low = fmin(along_a, along_b), high = fmax(along_a, along_b);
    for (int i = 0; i < cuts->count; i++) {
        double begin = (cuts->from + i) * (double)GLYPH_SLICE - cuts->pad;
        double end = begin + GLYPH_SLICE + 2 * cuts->pad;
        if (high < begin || low > end)
            continue;
        double run = along_b - along_a;
        for (int side = 0; side < 2; side++) {
            double at = side ? fmin(high, end) : fmax(low, begin);
            double part = run != 0 ? (at - along_a) / run : side;
            take(cuts, i, across_a + (across_b - across_a) * part);
        }
    }
}

static void piece_add(struct slicer *slicer, struct pen_point to)
{
    struct pen_point from = slicer->at;
    cuts_add(&slicer->rows, from.y, from.x, to.y, to.x);
    cuts_add(&slicer->columns, from.x, from.y, to.x, to.y);
    slicer->at = to;
}

/* ---- walking the outline ------------------------------------------------------------------ */

static struct pen_point point_of(const struct slicer *slicer, const FT_Vector *vector)
{
    return (struct pen_point){(double)vector->x * slicer->scale,
                              -(double)vector->y * slicer->scale};
}

static int move_to(const FT_Vector *to, void *closure)
{
    struct slicer *slicer = closure;
    slicer->at = point_of(slicer, to);
    return 0;
}

static int line_to(const FT_Vector *to, void *closure)
{
    struct slicer *slicer = closure;
    piece_add(slicer, point_of(slicer, to));
    return 0;
}

static int cubic_to(const FT_Vector *one, const FT_Vector *two, const FT_Vector *to, void *closure)
{
    struct slicer *slicer = closure;
    struct pen_point a = slicer->at, b = point_of(slicer, one), c = point_of(slicer, two),
                     d = point_of(slicer, to);
    for (int i = 1; i <= CURVE_PIECES; i++) {
        double t = (double)i / CURVE_PIECES, s = 1 - t;
        double p = s * s * s, q = 3 * s * s * t, r = 3 * s * t * t, u = t * t * t;
        piece_add(slicer, (struct pen_point){p * a.x + q * b.x + r * c.x + u * d.x,
                                             p * a.y + q * b.y + r * c.y + u * d.y});
    }
    return 0;
}

static int conic_to(const FT_Vector *control, const FT_Vector *to, void *closure)
{
    struct slicer *slicer = closure;
    struct pen_point a = slicer->at, b = point_of(slicer, control), c = point_of(slicer, to);
    for (int i = 1; i <= CURVE_PIECES; i++) {
        double t = (double)i / CURVE_PIECES, s = 1 - t;
        double p = s * s, q = 2 * s * t, r = t * t;
        piece_add(slicer,
                  (struct pen_point){p * a.x + q * b.x + r * c.x, p * a.y + q * b.y + r * c.y});
    }
    return 0;
}

/* ---- results ------------------------------------------------------------------------------ */

static int16_t bounded(double length)
{
    return (int16_t)fmax(-INT16_MAX, fmin(INT16_MAX, length));
}

static size_t cuts_write(const struct cuts *cuts, size_t first, struct extent *extents,
                         struct slices *slices)
{
    slices->first = (uint16_t)first;
    slices->from = (int8_t)cuts->from;
    slices->count = (uint8_t)cuts->count;
    for (int i = 0; i < cuts->count; i++)
        extents[i] =
            cuts->most[i] < cuts->least[i]
                ? (struct extent){0, -1}
                : (struct extent){bounded(floor(cuts->least[i])), bounded(ceil(cuts->most[i]))};
    return (size_t)cuts->count;
}

size_t music_outline_slice(FT_Face font, unsigned long index, size_t first,
                           struct extent extents[OUTLINE_EXTENTS_MAX], struct glyph_metrics *glyph)
{
    static const FT_Outline_Funcs walk = {move_to, line_to, conic_to, cubic_to, 0, 0};
    struct slicer slicer = {.scale = 4000.0 / font->units_per_EM};
    FT_BBox box;
    glyph->rows = glyph->columns = (struct slices){0, 0, 0};
    if (FT_Load_Glyph(font, (FT_UInt)index, FT_LOAD_NO_SCALE | FT_LOAD_NO_HINTING) ||
        font->glyph->format != FT_GLYPH_FORMAT_OUTLINE || font->glyph->outline.n_points == 0)
        return 0;
    FT_Outline_Get_CBox(&font->glyph->outline, &box);
    double left = (double)box.xMin * slicer.scale, right = (double)box.xMax * slicer.scale;
    double top = -(double)box.yMax * slicer.scale, bottom = -(double)box.yMin * slicer.scale;
    cuts_open(&slicer.rows, top, bottom, GLYPH_ROW_PAD);
    cuts_open(&slicer.columns, left, right, 0);
    FT_Outline_Decompose(&font->glyph->outline, &walk, &slicer);
    size_t count = cuts_write(&slicer.rows, first, extents, &glyph->rows);
    return count + cuts_write(&slicer.columns, first + count, extents + count, &glyph->columns);
}
