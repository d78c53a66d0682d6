#include "draw/music_outline.h"

#include "draw/glyph_outline.h"

#include <math.h>

/*
 * 1. Lay bands of a quarter space over the box of the sign: rows by height, columns along the line.
 * 2. Walk the outline in straight pieces. In each band that a piece passes through, keep how far
 *    it reaches either way along the band; a row also takes what lies a little beyond its edges.
 * 3. Write the bands out as whole numbers, rounded outward. A band without ink is an empty extent.
 */

/* Straight pieces of a curve: the sagitta of a flag's longest is below a thousandth of a space. */
enum { CURVE_PIECES = 24 };

/* Lengths in thousandths of a space. "Along" is the direction in which bands follow each other: y
   for rows, x for columns. */
struct bands {
    double least[GLYPH_SLICES_MAX], most[GLYPH_SLICES_MAX];
    int from, count; /* first band, in units of GLYPH_SLICE */
    double pad;      /* a band also takes ink this far beyond it */
};

struct slicer {
    double scale; /* thousandths of a space in a font unit: an em is four spaces (SMuFL) */
    struct bands rows, columns;
};

static int within(int count, int least, int most)
{
    return count < least ? least : count > most ? most : count;
}

/* `low` and `high`: where the ink begins and ends along. */
static void bands_open(struct bands *bands, double low, double high, double pad)
{
    int end = (int)ceil((high + pad) / GLYPH_SLICE);
    bands->from = within((int)floor((low - pad) / GLYPH_SLICE), INT8_MIN, INT8_MAX);
    bands->count = within(end - bands->from, 1, GLYPH_SLICES_MAX);
    bands->pad = pad;
    for (int i = 0; i < bands->count; i++) {
        bands->least[i] = INFINITY;
        bands->most[i] = -INFINITY;
    }
}

/* Takes a straight piece: what of it lies in each band. */
static void bands_add(struct bands *bands, double along_a, double across_a, double along_b,
                      double across_b)
{
    double low = fmin(along_a, along_b), high = fmax(along_a, along_b), run = along_b - along_a;
    for (int i = 0; i < bands->count; i++) {
        double begin = (bands->from + i) * (double)GLYPH_SLICE - bands->pad;
        double end = begin + GLYPH_SLICE + 2 * bands->pad;
        if (high < begin || low > end)
            continue;
        for (int side = 0; side < 2; side++) {
            double at = side ? fmin(high, end) : fmax(low, begin);
            double part = run != 0 ? (at - along_a) / run : side;
            double across = across_a + (across_b - across_a) * part;
            bands->least[i] = fmin(bands->least[i], across);
            bands->most[i] = fmax(bands->most[i], across);
        }
    }
}

static void add_piece(void *closure, struct outline_piece piece)
{
    struct slicer *slicer = closure;
    double x0 = piece.x0 * slicer->scale, y0 = -piece.y0 * slicer->scale;
    double x1 = piece.x1 * slicer->scale, y1 = -piece.y1 * slicer->scale;
    bands_add(&slicer->rows, y0, x0, y1, x1);
    bands_add(&slicer->columns, x0, y0, x1, y1);
}

static int16_t bounded(double length)
{
    return (int16_t)fmax(-INT16_MAX, fmin(INT16_MAX, length));
}

static size_t bands_write(const struct bands *bands, size_t first, struct extent *extents,
                          struct slices *slices)
{
    slices->first = (uint16_t)first;
    slices->from = (int8_t)bands->from;
    slices->count = (uint8_t)bands->count;
    for (int i = 0; i < bands->count; i++)
        extents[i] =
            bands->most[i] < bands->least[i]
                ? (struct extent){0, -1}
                : (struct extent){bounded(floor(bands->least[i])), bounded(ceil(bands->most[i]))};
    return (size_t)bands->count;
}

size_t music_outline_slice(hb_font_t *font, unsigned long index, size_t first,
                           struct extent extents[OUTLINE_EXTENTS_MAX], struct glyph_metrics *glyph)
{
    struct slicer slicer = {.scale = 4000.0 / hb_face_get_upem(hb_font_get_face(font))};
    hb_glyph_extents_t box;
    glyph->rows = glyph->columns = (struct slices){0, 0, 0};
    if (!hb_font_get_glyph_extents(font, (hb_codepoint_t)index, &box) || box.width == 0)
        return 0;
    double left = box.x_bearing * slicer.scale, width = box.width * slicer.scale;
    double top = -box.y_bearing * slicer.scale, height = -box.height * slicer.scale;
    bands_open(&slicer.rows, top, top + height, GLYPH_ROW_PAD);
    bands_open(&slicer.columns, left, left + width, 0);
    glyph_outline_walk(font, index, CURVE_PIECES, add_piece, &slicer);
    size_t count = bands_write(&slicer.rows, first, extents, &glyph->rows);
    return count + bands_write(&slicer.columns, first + count, extents + count, &glyph->columns);
}
