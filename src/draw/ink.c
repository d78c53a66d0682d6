#include "draw/ink.h"

#include "base/vector.h"
#include "draw/tags.h"
#include "draw/text_setter.h"

#include <math.h>
#include <stdlib.h>

/*
 * A page is inked in two steps. One walk sorts its marks into batches, then each batch becomes one
 * call of cairo:
 *
 *   - lines, rings and boxes of one width are one path that is stroked;
 *   - slanted beams, ties and slurs are one path that is filled;
 *   - the signs of one face and size are one row of glyphs;
 *   - texts of one pen are one row of glyphs.
 *
 * Lines, fills and signs wait for the end of the page, except what is opaque. Text is shown at the
 * end of each system, so that text copied from a PDF comes out as heading, sticking row and count
 * row, system after system. In a tagged PDF it is also shown wherever another element of the
 * structure begins.
 */

struct stroke_batch {
    sp width;
    VECTOR(const struct mark *) marks;
};

struct sign_batch {
    cairo_font_face_t *face;
    uint16_t scale;
    VECTOR(cairo_glyph_t) glyphs;
};

struct text_batch {
    const struct label_pen *pen;
    double size;      /* of a label on paper: 1, less on a small staff */
    bool parted;      /* it begins with a space */
    bool backward;    /* of the last run */
    struct point end; /* of the last label: where a space before the next one goes */
    unsigned drifted; /* glyphs since a word was last put where it belongs */
    VECTOR(cairo_glyph_t) glyphs;
    VECTOR(cairo_text_cluster_t) clusters;
    VECTOR(char) bytes;
};

struct ink {
    cairo_t *cairo;
    const struct faces *faces;
    struct tags *tags; /* of a tagged PDF, else NULL */
    struct arena *scratch;
    double scale; /* points in a thousandth of a space */
    sp tie_end;   /* how thick the ends of ties are */
    bool mask;    /* the target has no colours: it takes how much ink, not which */
    bool joined;  /* the last label ended within a word */
    VECTOR(struct stroke_batch) strokes;
    VECTOR(const struct mark *) fills;
    VECTOR(struct sign_batch) signs;
    struct text_batch *texts; /* one for each pen */
    size_t text_count;
};

/* 0 black ... 1 white. */
static void set_grey(struct ink *ink, double grey)
{
    if (ink->mask)
        cairo_set_source_rgba(ink->cairo, 0, 0, 0, 1 - grey);
    else
        cairo_set_source_rgb(ink->cairo, grey, grey, grey);
}

/* ---- sorting ------------------------------------------------------------------------------ */

static void sort_stroke(struct ink *ink, const struct mark *mark)
{
    size_t i = 0;
    while (i < ink->strokes.count && ink->strokes.items[i].width != mark->with.width)
        i++;
    if (i == ink->strokes.count)
        vector_push(&ink->strokes, ink->scratch)->width = mark->with.width;
    *vector_push(&ink->strokes.items[i].marks, ink->scratch) = mark;
}

static void sort_sign(struct ink *ink, const struct mark *mark)
{
    struct music_sign sign = music_face_sign(ink->faces->music, (enum glyph)mark->glyph);
    size_t i = 0;
    while (i < ink->signs.count &&
           (ink->signs.items[i].scale != mark->scale || ink->signs.items[i].face != sign.face))
        i++;
    if (i == ink->signs.count) {
        struct sign_batch *batch = vector_push(&ink->signs, ink->scratch);
        batch->scale = mark->scale;
        batch->face = sign.face;
    }
    *vector_push(&ink->signs.items[i].glyphs, ink->scratch) =
        (cairo_glyph_t){sign.index, mark->as.at.x * ink->scale, mark->as.at.y * ink->scale};
}

/* ---- glyphs ------------------------------------------------------------------------------ */

/*
 * Shows glyphs of the font that is set. On pixels their outlines are filled: shown as glyphs, cairo
 * 1.16 would move each to the nearest whole pixel, and heads would leave their stems.
 */
static void show_glyphs(struct ink *ink, const char *bytes, size_t byte_count,
                        const cairo_glyph_t *glyphs, size_t count,
                        const cairo_text_cluster_t *clusters, size_t cluster_count, bool backward)
{
    if (ink->mask) {
        cairo_glyph_path(ink->cairo, glyphs, (int)count);
        cairo_fill(ink->cairo);
        return;
    }
    cairo_show_text_glyphs(ink->cairo, bytes, (int)byte_count, glyphs, (int)count, clusters,
                           (int)cluster_count, backward ? CAIRO_TEXT_CLUSTER_FLAG_BACKWARD : 0);
}

/* ---- text --------------------------------------------------------------------------------- */

/* The space at the beginning is left out where an element of the structure begins. */
static void show_text(struct ink *ink, struct text_batch *batch)
{
    size_t skip = batch->parted && !ink->tags->has_text;
    if (batch->glyphs.count > skip) {
        cairo_matrix_t matrix = batch->pen->matrix;
        cairo_matrix_scale(&matrix, batch->size, batch->size);
        set_grey(ink, batch->pen->grey);
        cairo_set_font_face(ink->cairo, batch->pen->face);
        cairo_set_font_matrix(ink->cairo, &matrix);
        show_glyphs(ink, batch->bytes.items + skip, batch->bytes.count - skip,
                    batch->glyphs.items + skip, batch->glyphs.count - skip,
                    batch->clusters.items + skip, batch->clusters.count - skip, batch->backward);
        if (ink->tags)
            ink->tags->has_text = true;
    }
    batch->glyphs.count = batch->clusters.count = batch->bytes.count = 0;
    batch->parted = batch->backward = false;
}

static void show_texts(struct ink *ink)
{
    for (size_t i = 0; i < ink->text_count; i++)
        show_text(ink, &ink->texts[i]);
}

/*
 * Cairo 1.16 writes the widths of a PDF's glyphs without their thousandths' fractions and moves
 * from glyph to glyph by whole ones, so a row of texts drifts to the left: letters end a sixth of a
 * millimetre off their heads. It gives a glyph its own place only where the baseline changes. So
 * after some glyphs a space, which has no ink, stands a hair lower, and the next word is back in
 * its place.
 */
#define SPACE_DROP 0.1    /* points */
enum { DRIFT_MOST = 24 }; /* glyphs: an eightieth of a millimetre at 9 points */

/* For each glyph; a space brings the row back to its place if it has drifted. */
static double space_drop(const struct ink *ink, struct text_batch *batch, bool space)
{
    bool pdf = cairo_surface_get_type(cairo_get_target(ink->cairo)) == CAIRO_SURFACE_TYPE_PDF;
    bool drops = pdf && space && batch->drifted >= DRIFT_MOST;
    batch->drifted = drops ? 0 : batch->drifted + 1;
    return drops ? SPACE_DROP : 0;
}

/* A space before a label: a program that reads the text of a structure gets letters without their
   positions. */
static void sort_space(struct ink *ink, struct text_batch *batch, struct point at)
{
    if (batch->backward)
        show_text(ink, batch);
    if (!batch->pen->space)
        return;
    struct point end = batch->glyphs.count ? batch->end : at;
    batch->parted |= batch->glyphs.count == 0;
    *vector_push(&batch->glyphs, ink->scratch) = (cairo_glyph_t){
        batch->pen->space, end.x * ink->scale, end.y * ink->scale + space_drop(ink, batch, true)};
    *vector_push(&batch->clusters, ink->scratch) = (cairo_text_cluster_t){1, 1};
    *vector_push(&batch->bytes, ink->scratch) = ' ';
}

static void sort_run(struct ink *ink, struct text_batch *batch, const struct label_run *run,
                     struct point at)
{
    /* Cairo takes text of one direction in a call, and one text alone where it runs backward. */
    if (run->backward || batch->backward)
        show_text(ink, batch);
    batch->backward = run->backward;
    double x = at.x * ink->scale, y = at.y * ink->scale;
    for (size_t i = 0; i < run->glyph_count; i++) {
        bool space = batch->pen->space && run->glyphs[i].index == batch->pen->space;
        *vector_push(&batch->glyphs, ink->scratch) =
            (cairo_glyph_t){run->glyphs[i].index, x + run->glyphs[i].x * batch->size,
                            y + run->glyphs[i].y * batch->size + space_drop(ink, batch, space)};
    }
    for (size_t i = 0; i < run->cluster_count; i++)
        *vector_push(&batch->clusters, ink->scratch) = run->clusters[i];
    for (size_t i = 0; i < run->byte_count; i++)
        *vector_push(&batch->bytes, ink->scratch) = run->bytes[i];
}

/* Runs of a label that has several are shown one by one, in the order in which they are read. So is
   a label on a small staff: there are few. */
static void sort_label(struct ink *ink, const struct mark *mark)
{
    const struct text_labels *labels = ink->faces->labels;
    struct label_runs runs = text_labels_runs(labels, mark->with.label);
    struct point at = mark->as.at;
    if (runs.count > 1)
        show_texts(ink);
    for (size_t i = 0; i < runs.count; i++) {
        const struct label_run *run = &runs.runs[i];
        struct text_batch small = {.pen = text_labels_pen(labels, run->pen),
                                   .size = mark->scale / 1000.0};
        struct text_batch *batch = mark->scale ? &small : &ink->texts[run->pen];
        if (ink->tags && i == 0 && !ink->joined)
            sort_space(ink, batch, at);
        sort_run(ink, batch, run, at);
        batch->end =
            (struct point){at.x + text_labels_metrics(labels, mark->with.label)->advance, at.y};
        if (mark->scale || runs.count > 1)
            show_text(ink, batch);
    }
    ink->joined = runs.joined;
}

/* ---- strokes and fills -------------------------------------------------------------------- */

static void trace_stroke(struct ink *ink, const struct mark *mark)
{
    double scale = ink->scale;
    if (mark->shape == SHAPE_RING) {
        cairo_new_sub_path(ink->cairo);
        cairo_arc(ink->cairo, mark->as.at.x * scale, mark->as.at.y * scale, mark->radius * scale, 0,
                  2 * acos(-1));
        cairo_close_path(ink->cairo);
        return;
    }
    struct point from = mark->as.ends.from, to = mark->as.ends.to;
    if (mark->shape == SHAPE_BOX) {
        cairo_rectangle(ink->cairo, from.x * scale, from.y * scale, (to.x - from.x) * scale,
                        (to.y - from.y) * scale);
        return;
    }
    cairo_move_to(ink->cairo, from.x * scale, from.y * scale);
    cairo_line_to(ink->cairo, to.x * scale, to.y * scale);
}

static void show_strokes(struct ink *ink)
{
    set_grey(ink, 0);
    cairo_set_line_cap(ink->cairo, CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(ink->cairo, CAIRO_LINE_JOIN_MITER);
    for (size_t i = 0; i < ink->strokes.count; i++) {
        const struct stroke_batch *batch = &ink->strokes.items[i];
        for (size_t m = 0; m < batch->marks.count; m++)
            trace_stroke(ink, batch->marks.items[m]);
        cairo_set_line_width(ink->cairo, batch->width * ink->scale);
        cairo_stroke(ink->cairo);
    }
}

/* Hides what was drawn before, so it is drawn in its turn. */
static void show_opaque(struct ink *ink, const struct mark *mark)
{
    cairo_set_operator(ink->cairo, ink->mask ? CAIRO_OPERATOR_SOURCE : CAIRO_OPERATOR_OVER);
    set_grey(ink, 1);
    trace_stroke(ink, mark);
    cairo_fill_preserve(ink->cairo);
    cairo_set_operator(ink->cairo, CAIRO_OPERATOR_OVER);
    set_grey(ink, 0);
    cairo_set_line_width(ink->cairo, mark->with.width * ink->scale);
    cairo_stroke(ink->cairo);
}

static void trace_beam(struct ink *ink, const struct mark *mark)
{
    double half = mark->with.width * ink->scale / 2;
    double x0 = mark->as.ends.from.x * ink->scale, y0 = mark->as.ends.from.y * ink->scale;
    double x1 = mark->as.ends.to.x * ink->scale, y1 = mark->as.ends.to.y * ink->scale;
    cairo_move_to(ink->cairo, x0, y0 - half);
    cairo_line_to(ink->cairo, x1, y1 - half);
    cairo_line_to(ink->cairo, x1, y1 + half);
    cairo_line_to(ink->cairo, x0, y0 + half);
    cairo_close_path(ink->cairo);
}

/*
 * A tie or slur: the space between two arcs that meet near the ends.
 *
 *        ___----___      outer arc: height + width / 2 in the middle
 *      /__--    --__\    inner arc: height - width / 2
 *
 * A cubic whose two controls stand at height c rises to 3/4 c in its middle.
 */
static void trace_curve(struct ink *ink, const struct mark *mark)
{
    double scale = ink->scale;
    double tip = ink->tie_end * scale / 2;
    double x0 = mark->as.ends.from.x * scale, y0 = mark->as.ends.from.y * scale;
    double x1 = mark->as.ends.to.x * scale, y1 = mark->as.ends.to.y * scale;
    double height = mark->curve * scale, half = mark->with.width * scale / 2;
    double side = mark->curve < 0 ? 1 : -1; /* where the outer arc lies: up is negative */
    double outer = (-height + side * (half - tip)) / 0.75;
    double inner = (-height - side * (half - tip)) / 0.75;
    double third = (x1 - x0) / 3;
    double rise = (y1 - y0) / 3;
    tip *= side;
    cairo_move_to(ink->cairo, x0, y0 + tip);
    cairo_curve_to(ink->cairo, x0 + third, y0 + rise + tip + outer, x1 - third,
                   y1 - rise + tip + outer, x1, y1 + tip);
    cairo_line_to(ink->cairo, x1, y1 - tip);
    cairo_curve_to(ink->cairo, x1 - third, y1 - rise - tip + inner, x0 + third,
                   y0 + rise - tip + inner, x0, y0 - tip);
    cairo_close_path(ink->cairo);
}

static void show_fills(struct ink *ink)
{
    if (ink->fills.count == 0)
        return;
    set_grey(ink, 0);
    for (size_t i = 0; i < ink->fills.count; i++) {
        const struct mark *mark = ink->fills.items[i];
        (mark->shape == SHAPE_BEAM ? trace_beam : trace_curve)(ink, mark);
    }
    cairo_fill(ink->cairo);
}

/* By rows of equal height, from left to right. Within a row a PDF needs only a number to move on to
   the next sign; otherwise each sign takes an instruction. */
static int by_row(const void *a, const void *b)
{
    const cairo_glyph_t *one = a, *other = b;
    if (one->y != other->y)
        return one->y < other->y ? -1 : 1;
    return (one->x > other->x) - (one->x < other->x);
}

/* Signs of music are not text. Each stands for a space, so that the text of a PDF has no private
   code points among its words: an en space, as cairo would put the sign that stands for a plain one
   into a second font. */
static void show_signs(struct ink *ink)
{
    static const char space[] = "\342\200\202";
    enum { SPACE_BYTES = sizeof space - 1 };
    set_grey(ink, 0);
    for (size_t i = 0; i < ink->signs.count; i++) {
        struct sign_batch *batch = &ink->signs.items[i];
        size_t count = batch->glyphs.count;
        char *spaces = arena_array(ink->scratch, count, SPACE_BYTES);
        cairo_text_cluster_t *clusters = arena_array(ink->scratch, count, sizeof *clusters);
        for (size_t k = 0; k < count; k++) {
            memcpy(spaces + k * SPACE_BYTES, space, SPACE_BYTES);
            clusters[k] = (cairo_text_cluster_t){SPACE_BYTES, 1};
        }
        vector_sort(&batch->glyphs, by_row);
        cairo_set_font_face(ink->cairo, batch->face);
        cairo_set_font_size(ink->cairo, 4.0 * batch->scale * ink->scale);
        show_glyphs(ink, spaces, count * SPACE_BYTES, batch->glyphs.items, count, clusters, count,
                    false);
    }
}

/* ---- the page ----------------------------------------------------------------------------- */

static void sort_mark(struct ink *ink, const struct mark *mark)
{
    switch ((enum mark_shape)mark->shape) {
    case SHAPE_GLYPH:
        sort_sign(ink, mark);
        break;
    case SHAPE_LABEL:
        sort_label(ink, mark);
        break;
    case SHAPE_BEAM:
        if (mark->as.ends.from.y == mark->as.ends.to.y) /* a line looks the same and is shorter */
            sort_stroke(ink, mark);
        else
            *vector_push(&ink->fills, ink->scratch) = mark;
        break;
    case SHAPE_CURVE:
        *vector_push(&ink->fills, ink->scratch) = mark;
        break;
    case SHAPE_LINE:
    case SHAPE_RING:
    case SHAPE_BOX:
        if (mark_is_opaque(mark))
            show_opaque(ink, mark);
        else
            sort_stroke(ink, mark);
        break;
    }
}

/* Marks [first, end), then the text among them. Between systems a text may begin another element
   of the structure: then what came before it is shown first. */
static void sort_stretch(struct ink *ink, const struct page *page, size_t first, size_t end,
                         bool system)
{
    for (size_t i = first; i < end; i++) {
        const struct mark *mark = &page->marks[i];
        if (ink->tags && !system && mark->shape == SHAPE_LABEL) {
            if (tags_part(ink->tags, mark))
                show_texts(ink);
            tags_move(ink->tags, mark);
        }
        sort_mark(ink, mark);
    }
    show_texts(ink);
}

static void show_music(struct ink *ink)
{
    show_strokes(ink);
    show_fills(ink);
    show_signs(ink);
    ink->strokes.count = ink->fills.count = ink->signs.count = 0;
}

static bool has_text(const struct page *page, const struct page_system *system)
{
    for (size_t i = 0; i < system->mark_count; i++)
        if (page->marks[system->first_mark + i].shape == SHAPE_LABEL)
            return true;
    return false;
}

/* The text of a system is the Figure of its exercise. A system without text has its lines and signs
   as Figure; otherwise they wait for the end of the page. */
static void sort_system(struct ink *ink, const struct page *page, const struct page_system *system)
{
    size_t end = system->first_mark + system->mark_count;
    bool lines = ink->tags && !has_text(page, system);
    if (lines) {
        tags_end(ink->tags);
        show_music(ink);
    }
    if (ink->tags)
        tags_figure(ink->tags, system->exercise);
    sort_stretch(ink, page, system->first_mark, end, true);
    if (lines)
        show_music(ink);
}

/* Outlines keep their shapes at every size and resolution. */
static void set_font_options(cairo_t *cairo)
{
    cairo_font_options_t *options = text_setter_options();
    cairo_set_font_options(cairo, options);
    cairo_font_options_destroy(options);
}

static void open_texts(struct ink *ink)
{
    const struct text_labels *labels = ink->faces->labels;
    ink->text_count = text_labels_pen_count(labels);
    ink->texts = arena_array(ink->scratch, ink->text_count, sizeof *ink->texts);
    for (size_t i = 0; i < ink->text_count; i++)
        ink->texts[i] = (struct text_batch){.pen = text_labels_pen(labels, (uint32_t)i), .size = 1};
}

void ink_page(cairo_t *cairo, const struct faces *faces, const struct page *page, struct tags *tags,
              struct arena *scratch)
{
    struct metrics metrics;
    music_face_measures(faces->music, &metrics);
    struct ink ink = {.cairo = cairo,
                      .faces = faces,
                      .tags = tags,
                      .scratch = scratch,
                      .scale = faces_points_per_sp(faces),
                      .tie_end = metrics.defaults->tie_end,
                      .mask = cairo_surface_get_content(cairo_get_target(cairo)) ==
                              CAIRO_CONTENT_ALPHA};
    if (tags)
        tags_begin_page(tags, cairo);
    set_font_options(cairo);
    open_texts(&ink);
    size_t done = 0;
    for (size_t i = 0; i < page->system_count; i++) {
        const struct page_system *system = &page->systems[i];
        if (system->first_mark < done)
            continue;
        sort_stretch(&ink, page, done, system->first_mark, false);
        done = system->first_mark + system->mark_count;
        sort_system(&ink, page, system);
    }
    sort_stretch(&ink, page, done, page->mark_count, false);
    if (tags)
        tags_end(tags);
    show_music(&ink);
}
