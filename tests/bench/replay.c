#include "replay.h"

#include "base/vector.h"
#include "draw/faces.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdlib.h>

struct stroke_batch {
    double width;
    VECTOR(double) ends; /* x0 y0 x1 y1 ... */
};

struct glyph_batch {
    cairo_font_face_t *face;
    cairo_matrix_t matrix;
    double grey;
    VECTOR(cairo_glyph_t) glyphs;
};

struct circle {
    double x, y, radius, width;
};

struct replay_page {
    double width, height;
    VECTOR(struct stroke_batch) strokes;
    VECTOR(struct circle) circles;
    VECTOR(double) quads;  /* four corners */
    VECTOR(double) lenses; /* two arcs of four points each */
    VECTOR(struct glyph_batch) glyphs;
};

struct replay {
    struct arena *arena;
    struct faces *faces;
    double scale;
    VECTOR(struct replay_page) pages;
};

struct replay *replay_new(struct faces *faces)
{
    struct arena *arena = arena_new();
    struct replay *replay = arena_alloc(arena, sizeof *replay);
    *replay = (struct replay){.arena = arena, .faces = faces, .scale = faces_points_per_sp(faces)};
    return replay;
}

void replay_free(struct replay *replay)
{
    arena_free(replay->arena);
}

/* ---- making ready ------------------------------------------------------------------------- */

static void add_line(struct replay *replay, struct replay_page *page, double width, double x0,
                     double y0, double x1, double y1)
{
    size_t i = 0;
    while (i < page->strokes.count && page->strokes.items[i].width != width)
        i++;
    if (i == page->strokes.count)
        vector_push(&page->strokes, replay->arena)->width = width;
    const double ends[] = {x0, y0, x1, y1};
    for (int e = 0; e < 4; e++)
        *vector_push(&page->strokes.items[i].ends, replay->arena) = ends[e];
}

static struct glyph_batch *batch_of(struct replay *replay, struct replay_page *page,
                                    const struct label_pen *pen)
{
    for (size_t i = 0; i < page->glyphs.count; i++) {
        struct glyph_batch *batch = &page->glyphs.items[i];
        if (batch->face == pen->face && batch->grey == pen->grey &&
            batch->matrix.xx == pen->matrix.xx)
            return batch;
    }
    struct glyph_batch *batch = vector_push(&page->glyphs, replay->arena);
    batch->face = pen->face;
    batch->matrix = pen->matrix;
    batch->grey = pen->grey;
    return batch;
}

static void add_sign(struct replay *replay, struct replay_page *page, const struct mark *mark)
{
    struct music_sign sign = music_face_sign(replay->faces->music, (enum glyph)mark->glyph);
    struct label_pen pen = {.face = sign.face};
    double size = 4.0 * mark->scale * replay->scale;
    cairo_matrix_init_scale(&pen.matrix, size, size);
    *vector_push(&batch_of(replay, page, &pen)->glyphs, replay->arena) =
        (cairo_glyph_t){sign.index, mark->as.at.x * replay->scale, mark->as.at.y * replay->scale};
}

static void add_label(struct replay *replay, struct replay_page *page, const struct mark *mark)
{
    struct label_runs runs = text_labels_runs(replay->faces->labels, mark->with.label);
    for (size_t r = 0; r < runs.count; r++) {
        const struct label_run *run = &runs.runs[r];
        struct glyph_batch *batch =
            batch_of(replay, page, text_labels_pen(replay->faces->labels, run->pen));
        for (size_t i = 0; i < run->glyph_count; i++)
            *vector_push(&batch->glyphs, replay->arena) = (cairo_glyph_t){
                run->glyphs[i].index, mark->as.at.x * replay->scale + run->glyphs[i].x,
                mark->as.at.y * replay->scale + run->glyphs[i].y};
    }
}

static void add_box(struct replay *replay, struct replay_page *page, double width, double x0,
                    double y0, double x1, double y1)
{
    add_line(replay, page, width, x0, y0, x1, y0);
    add_line(replay, page, width, x1, y0, x1, y1);
    add_line(replay, page, width, x1, y1, x0, y1);
    add_line(replay, page, width, x0, y1, x0, y0);
}

static void add_span(struct replay *replay, struct replay_page *page, const struct mark *mark)
{
    double x0 = mark->as.ends.from.x * replay->scale, y0 = mark->as.ends.from.y * replay->scale;
    double x1 = mark->as.ends.to.x * replay->scale, y1 = mark->as.ends.to.y * replay->scale;
    double width = mark->with.width * replay->scale, rise = mark->curve * replay->scale / 0.75;
    if (mark->shape == SHAPE_LINE) {
        add_line(replay, page, width, x0, y0, x1, y1);
    } else if (mark->shape == SHAPE_BOX) {
        add_box(replay, page, width, x0, y0, x1, y1);
    } else if (mark->shape == SHAPE_BEAM) {
        const double corners[] = {x0, y0 - width / 2, x1, y1 - width / 2,
                                  x1, y1 + width / 2, x0, y0 + width / 2};
        for (int i = 0; i < 8; i++)
            *vector_push(&page->quads, replay->arena) = corners[i];
    } else {
        double third = (x1 - x0) / 3, high = rise + width / 2, low = rise - width / 2;
        const double points[] = {x0, y0, x0 + third, y0 - high, x1 - third, y1 - high,
                                 x1, y1, x1 - third, y1 - low,  x0 + third, y0 - low};
        for (int i = 0; i < 12; i++)
            *vector_push(&page->lenses, replay->arena) = points[i];
    }
}

void replay_add(struct replay *replay, const struct page *source)
{
    struct replay_page *page = vector_push(&replay->pages, replay->arena);
    page->width = source->width * replay->scale;
    page->height = source->height * replay->scale;
    for (size_t i = 0; i < source->mark_count; i++) {
        const struct mark *mark = &source->marks[i];
        if (mark->shape == SHAPE_GLYPH)
            add_sign(replay, page, mark);
        else if (mark->shape == SHAPE_LABEL)
            add_label(replay, page, mark);
        else if (mark->shape == SHAPE_RING)
            *vector_push(&page->circles, replay->arena) =
                (struct circle){mark->as.at.x * replay->scale, mark->as.at.y * replay->scale,
                                mark->radius * replay->scale, mark->with.width * replay->scale};
        else
            add_span(replay, page, mark);
    }
}

/* ---- replaying ---------------------------------------------------------------------------- */

static void replay_strokes(cairo_t *cairo, const struct replay_page *page)
{
    for (size_t b = 0; b < page->strokes.count; b++) {
        const struct stroke_batch *batch = &page->strokes.items[b];
        for (size_t i = 0; i < batch->ends.count; i += 4) {
            cairo_move_to(cairo, batch->ends.items[i], batch->ends.items[i + 1]);
            cairo_line_to(cairo, batch->ends.items[i + 2], batch->ends.items[i + 3]);
        }
        cairo_set_line_width(cairo, batch->width);
        cairo_stroke(cairo);
    }
    for (size_t i = 0; i < page->circles.count; i++) {
        const struct circle *circle = &page->circles.items[i];
        cairo_new_sub_path(cairo);
        cairo_arc(cairo, circle->x, circle->y, circle->radius, 0, 2 * acos(-1));
        cairo_set_line_width(cairo, circle->width);
    }
    cairo_stroke(cairo);
}

static void replay_fills(cairo_t *cairo, const struct replay_page *page)
{
    for (size_t i = 0; i < page->quads.count; i += 8) {
        const double *at = &page->quads.items[i];
        cairo_move_to(cairo, at[0], at[1]);
        cairo_line_to(cairo, at[2], at[3]);
        cairo_line_to(cairo, at[4], at[5]);
        cairo_line_to(cairo, at[6], at[7]);
        cairo_close_path(cairo);
    }
    for (size_t i = 0; i < page->lenses.count; i += 12) {
        const double *at = &page->lenses.items[i];
        cairo_move_to(cairo, at[0], at[1]);
        cairo_curve_to(cairo, at[2], at[3], at[4], at[5], at[6], at[7]);
        cairo_curve_to(cairo, at[8], at[9], at[10], at[11], at[0], at[1]);
        cairo_close_path(cairo);
    }
    cairo_fill(cairo);
}

static void replay_glyphs(cairo_t *cairo, const struct replay_page *page)
{
    for (size_t i = 0; i < page->glyphs.count; i++) {
        const struct glyph_batch *batch = &page->glyphs.items[i];
        cairo_set_source_rgb(cairo, batch->grey, batch->grey, batch->grey);
        cairo_set_font_face(cairo, batch->face);
        cairo_set_font_matrix(cairo, &batch->matrix);
        cairo_show_glyphs(cairo, batch->glyphs.items, (int)batch->glyphs.count);
    }
}

static cairo_status_t count_bytes(void *closure, const unsigned char *bytes, unsigned int length)
{
    (void)bytes;
    *(size_t *)closure += length;
    return CAIRO_STATUS_SUCCESS;
}

size_t replay_draw(const struct replay *replay)
{
    size_t bytes = 0;
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(count_bytes, &bytes, 1, 1);
    for (size_t i = 0; i < replay->pages.count; i++) {
        const struct replay_page *page = &replay->pages.items[i];
        cairo_pdf_surface_set_size(surface, page->width, page->height);
        cairo_t *cairo = cairo_create(surface);
        replay_strokes(cairo, page);
        replay_fills(cairo, page);
        replay_glyphs(cairo, page);
        cairo_show_page(cairo);
        cairo_destroy(cairo);
    }
    cairo_surface_finish(surface);
    if (cairo_surface_status(surface))
        exit(2);
    cairo_surface_destroy(surface);
    return bytes;
}
