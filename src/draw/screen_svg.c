#include "draw/screen_svg.h"

#include "base/vector.h"
#include "draw/faces.h"
#include "draw/text_setter.h"

#include <math.h>
#include <stdlib.h>

/* ---- shapes that lines share ---------------------------------------------------------------- */

/* A sign or a text at one size; its number is its place in the row. */
struct shape {
    bool sign;
    uint32_t what; /* enum glyph, or label */
    uint16_t scale;
    double grey;
};

struct screen_svg {
    const struct faces *faces;
    struct arena *arena;
    cairo_surface_t *surface;
    cairo_t *cairo; /* turns glyphs into outlines; never inks */
    VECTOR(struct shape) shapes;
    struct buffer outlines;
};

enum { SP_UNIT = 10 }; /* thousandths of a space in a unit of the drawing */

struct screen_svg *screen_svg_open(const struct faces *faces)
{
    struct screen_svg *svg = memory_alloc(sizeof *svg);
    *svg = (struct screen_svg){.faces = faces, .arena = arena_new()};
    svg->surface = cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1);
    svg->cairo = cairo_create(svg->surface);
    cairo_font_options_t *options = text_setter_options();
    cairo_set_font_options(svg->cairo, options);
    cairo_font_options_destroy(options);
    return svg;
}

void screen_svg_close(struct screen_svg *svg)
{
    cairo_destroy(svg->cairo);
    cairo_surface_destroy(svg->surface);
    buffer_release(&svg->outlines);
    arena_free(svg->arena);
    memory_free(svg);
}

static void add_points(struct buffer *out, char letter, const cairo_path_data_t *points, int count)
{
    buffer_add(out, &letter, 1);
    for (int i = 0; i < count; i++)
        buffer_format(out, "%s%ld %ld", i ? " " : "", lround(points[i].point.x),
                      lround(points[i].point.y));
}

/* Adds the cairo context's current path to the outlines, and clears it in the context. */
static void take_outline(struct screen_svg *svg)
{
    cairo_path_t *path = cairo_copy_path(svg->cairo);
    for (int i = 0; i < path->num_data; i += path->data[i].header.length) {
        const cairo_path_data_t *data = &path->data[i];
        switch (data->header.type) {
        case CAIRO_PATH_MOVE_TO:
            if (i + data->header.length < path->num_data) /* cairo ends with an empty move */
                add_points(&svg->outlines, 'M', data + 1, 1);
            break;
        case CAIRO_PATH_LINE_TO:
            add_points(&svg->outlines, 'L', data + 1, 1);
            break;
        case CAIRO_PATH_CURVE_TO:
            add_points(&svg->outlines, 'C', data + 1, 3);
            break;
        case CAIRO_PATH_CLOSE_PATH:
            buffer_add_text(&svg->outlines, "Z");
            break;
        }
    }
    cairo_path_destroy(path);
    cairo_new_path(svg->cairo);
}

static void outline_sign(struct screen_svg *svg, enum glyph glyph, uint16_t scale)
{
    struct music_sign sign = music_face_sign(svg->faces->music, glyph);
    cairo_set_font_face(svg->cairo, sign.face);
    cairo_set_font_size(svg->cairo, 4.0 * scale / SP_UNIT);
    cairo_glyph_path(svg->cairo, &(cairo_glyph_t){sign.index, 0, 0}, 1);
    take_outline(svg);
}

/* A label is set in points of paper. */
static void outline_run(struct screen_svg *svg, const struct label_run *run, double size)
{
    const struct label_pen *pen = text_labels_pen(svg->faces->labels, run->pen);
    cairo_matrix_t matrix = pen->matrix;
    cairo_matrix_scale(&matrix, size, size);
    cairo_glyph_t *glyphs = arena_array(svg->arena, run->glyph_count, sizeof *glyphs);
    for (size_t i = 0; i < run->glyph_count; i++)
        glyphs[i] =
            (cairo_glyph_t){run->glyphs[i].index, run->glyphs[i].x * size, run->glyphs[i].y * size};
    cairo_set_font_face(svg->cairo, pen->face);
    cairo_set_font_matrix(svg->cairo, &matrix);
    cairo_glyph_path(svg->cairo, glyphs, (int)run->glyph_count);
    take_outline(svg);
}

static double outline_label(struct screen_svg *svg, label_id label, uint16_t scale)
{
    struct label_runs runs = text_labels_runs(svg->faces->labels, label);
    double size = (scale ? scale : 1000) / 1000.0 / faces_points_per_sp(svg->faces) / SP_UNIT;
    double grey = 0;
    for (size_t i = 0; i < runs.count; i++) {
        outline_run(svg, &runs.runs[i], size);
        grey = text_labels_pen(svg->faces->labels, runs.runs[i].pen)->grey;
    }
    return grey;
}

static size_t shape_of(struct screen_svg *svg, const struct mark *mark)
{
    bool sign = mark->shape == SHAPE_GLYPH;
    uint32_t what = sign ? mark->glyph : mark->with.label;
    for (size_t i = 0; i < svg->shapes.count; i++) {
        const struct shape *shape = &svg->shapes.items[i];
        if (shape->sign == sign && shape->what == what && shape->scale == mark->scale)
            return i;
    }
    size_t number = svg->shapes.count;
    struct shape *shape = vector_push(&svg->shapes, svg->arena);
    *shape = (struct shape){.sign = sign, .what = what, .scale = mark->scale};
    buffer_format(&svg->outlines, "<path id=\"%c%zu\" d=\"", sign ? 's' : 't', number);
    if (sign)
        outline_sign(svg, (enum glyph)what, mark->scale);
    else
        shape->grey = outline_label(svg, what, mark->scale);
    buffer_add_text(&svg->outlines, shape->grey > 0.4 ? "\" class=\"pale\"/>\n" : "\"/>\n");
    return number;
}

void screen_svg_shapes(const struct screen_svg *svg, struct buffer *out)
{
    buffer_add_text(out,
                    "<svg class=\"shapes\" aria-hidden=\"true\" width=\"0\" height=\"0\"><defs>\n");
    buffer_add_text(out, buffer_text(&svg->outlines));
    buffer_add_text(out, "</defs></svg>\n");
}

/* ---- a line --------------------------------------------------------------------------------- */

struct drawn_line {
    struct screen_svg *svg;
    const struct page *page;
    const struct page_system *system;
    sp top;
    struct buffer *out;
};

static int unit(sp length)
{
    return (int)lround((double)length / SP_UNIT);
}

static const struct mark *mark_at(const struct drawn_line *line, size_t i)
{
    return &line->page->marks[line->system->first_mark + i];
}

static void use(const struct drawn_line *line, const struct mark *mark)
{
    size_t shape = shape_of(line->svg, mark);
    buffer_format(line->out, "<use href=\"#%c%zu\" x=\"%d\" y=\"%d\"/>",
                  mark->shape == SHAPE_GLYPH ? 's' : 't', shape, unit(mark->as.at.x),
                  unit(mark->as.at.y - line->top));
}

static void trace_stroke(const struct drawn_line *line, const struct mark *mark)
{
    if (mark->shape == SHAPE_RING) {
        int radius = unit(mark->radius);
        buffer_format(line->out, "M%d %da%d %d 0 1 0 %d 0a%d %d 0 1 0 %d 0",
                      unit(mark->as.at.x) - radius, unit(mark->as.at.y - line->top), radius, radius,
                      2 * radius, radius, radius, -2 * radius);
        return;
    }
    int x0 = unit(mark->as.ends.from.x), y0 = unit(mark->as.ends.from.y - line->top);
    int x1 = unit(mark->as.ends.to.x), y1 = unit(mark->as.ends.to.y - line->top);
    if (mark->shape == SHAPE_BOX)
        buffer_format(line->out, "M%d %dH%dV%dH%dZ", x0, y0, x1, y1, x0);
    else if (y0 == y1)
        buffer_format(line->out, "M%d %dH%d", x0, y0, x1);
    else if (x0 == x1)
        buffer_format(line->out, "M%d %dV%d", x0, y0, y1);
    else
        buffer_format(line->out, "M%d %dL%d %d", x0, y0, x1, y1);
}

static bool is_stroke(const struct mark *mark)
{
    return mark->shape == SHAPE_LINE || mark->shape == SHAPE_RING || mark->shape == SHAPE_BOX ||
           (mark->shape == SHAPE_BEAM && mark->as.ends.from.y == mark->as.ends.to.y);
}

/* All strokes of one width are one path. */
static void add_strokes(const struct drawn_line *line)
{
    VECTOR(sp) done = {0};
    for (size_t i = 0; i < line->system->mark_count; i++) {
        const struct mark *mark = mark_at(line, i);
        size_t seen = 0;
        while (seen < done.count && done.items[seen] != mark->with.width)
            seen++;
        if (!is_stroke(mark) || seen < done.count)
            continue;
        *vector_push(&done, NULL) = mark->with.width;
        buffer_format(line->out, "<path class=\"line\" stroke-width=\"%d\" d=\"",
                      unit(mark->with.width));
        for (size_t k = i; k < line->system->mark_count; k++)
            if (is_stroke(mark_at(line, k)) && mark_at(line, k)->with.width == mark->with.width)
                trace_stroke(line, mark_at(line, k));
        buffer_add_text(line->out, "\"/>");
    }
    vector_release(&done);
}

static void trace_beam(const struct drawn_line *line, const struct mark *mark)
{
    int half = unit(mark->with.width / 2);
    int x0 = unit(mark->as.ends.from.x), y0 = unit(mark->as.ends.from.y - line->top);
    int x1 = unit(mark->as.ends.to.x), y1 = unit(mark->as.ends.to.y - line->top);
    buffer_format(line->out, "M%d %dL%d %dV%dL%d %dZ", x0, y0 - half, x1, y1 - half, y1 + half, x0,
                  y0 + half);
}

/* Between two arcs, as ink.c draws it; the ends are as thin as a line can be seen. */
static void trace_curve(const struct drawn_line *line, const struct mark *mark)
{
    double x0 = unit(mark->as.ends.from.x), y0 = unit(mark->as.ends.from.y - line->top);
    double x1 = unit(mark->as.ends.to.x), y1 = unit(mark->as.ends.to.y - line->top);
    double height = (double)mark->curve / SP_UNIT, half = (double)mark->with.width / SP_UNIT / 2;
    double outer = (-height - half) / 0.75, inner = (-height + half) / 0.75;
    double third = (x1 - x0) / 3, rise = (y1 - y0) / 3;
    buffer_format(line->out, "M%ld %ldC%ld %ld %ld %ld %ld %ldC%ld %ld %ld %ld %ld %ldZ",
                  lround(x0), lround(y0), lround(x0 + third), lround(y0 + rise + outer),
                  lround(x1 - third), lround(y1 - rise + outer), lround(x1), lround(y1),
                  lround(x1 - third), lround(y1 - rise + inner), lround(x0 + third),
                  lround(y0 + rise + inner), lround(x0), lround(y0));
}

static void add_fills(const struct drawn_line *line)
{
    size_t count = 0;
    for (size_t i = 0; i < line->system->mark_count; i++) {
        const struct mark *mark = mark_at(line, i);
        if (is_stroke(mark) || (mark->shape != SHAPE_BEAM && mark->shape != SHAPE_CURVE))
            continue;
        if (count++ == 0)
            buffer_add_text(line->out, "<path d=\"");
        (mark->shape == SHAPE_BEAM ? trace_beam : trace_curve)(line, mark);
    }
    if (count)
        buffer_add_text(line->out, "\"/>");
}

/* ---- strokes as groups ---------------------------------------------------------------------- */

/* What sounds: marks of one owner stand in one group. */
struct sounding {
    const struct mark *mark;
    uint32_t bar, line, leaf; /* leaf OWNER_NONE: the whole bar */
    size_t index;
};

static bool is_middle_near(const struct mark *a, const struct mark *b)
{
    sp apart = (a->box.left + a->box.right - b->box.left - b->box.right) / 2;
    return abs(apart) < 500;
}

/* A syllable where no hand strikes belongs to the foot that does. */
static struct mark_owner owner_of(const struct drawn_line *line, const struct mark *mark)
{
    struct mark_owner owner = mark->owner;
    for (size_t i = 0; mark->role == ROLE_SYLLABLE && i < line->system->mark_count; i++) {
        const struct mark *head = mark_at(line, i);
        if (head->role != ROLE_HEAD || head->owner.bar != mark->owner.bar)
            continue;
        if (head->owner.line == mark->owner.line && head->owner.stroke == mark->owner.stroke)
            return mark->owner;
        if (is_middle_near(head, mark))
            owner = head->owner;
    }
    return owner;
}

static bool sounds(const struct mark *mark)
{
    return mark->role == ROLE_HEAD || mark->role == ROLE_STICKING || mark->role == ROLE_SYLLABLE ||
           mark->role == ROLE_BAR_REPEAT || mark->role == ROLE_BAR_REST || mark->role == ROLE_SLASH;
}

static int by_owner(const void *left, const void *right)
{
    const struct sounding *a = left, *b = right;
    if (a->bar != b->bar)
        return a->bar < b->bar ? -1 : 1;
    if (a->line != b->line)
        return a->line < b->line ? -1 : 1;
    if (a->leaf != b->leaf)
        return a->leaf < b->leaf ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

static void begin_group(const struct drawn_line *line, const struct sounding *of)
{
    buffer_format(line->out, "<g data-of=\"%u", (unsigned)of->bar);
    if (of->leaf != OWNER_NONE)
        buffer_format(line->out, ".%u.%u", (unsigned)of->line, (unsigned)of->leaf);
    buffer_add_text(line->out, "\">");
}

static void add_groups(const struct drawn_line *line)
{
    VECTOR(struct sounding) all = {0};
    for (size_t i = 0; i < line->system->mark_count; i++) {
        const struct mark *mark = mark_at(line, i);
        bool placed = mark->shape == SHAPE_GLYPH || mark->shape == SHAPE_LABEL;
        struct mark_owner owner = owner_of(line, mark);
        if (placed && sounds(mark) && owner.bar != OWNER_NONE)
            *vector_push(&all, NULL) =
                (struct sounding){mark, owner.bar, owner.line, owner.stroke, i};
        else if (placed)
            use(line, mark);
    }
    vector_sort(&all, by_owner);
    for (size_t i = 0; i < all.count; i++) {
        const struct sounding *now = &all.items[i], *before = i ? now - 1 : NULL;
        bool begins = !before || before->bar != now->bar || before->line != now->line ||
                      before->leaf != now->leaf;
        if (begins && before)
            buffer_add_text(line->out, "</g>");
        if (begins)
            begin_group(line, now);
        use(line, now->mark);
    }
    buffer_add_text(line->out, all.count ? "</g>" : "");
    vector_release(&all);
}

void screen_svg_line(struct screen_svg *svg, const struct page *page,
                     const struct page_system *system, struct buffer *out)
{
    enum { PAD = 600 }; /* room for the marking around what sounds */
    struct drawn_line line = {svg, page, system, system->box.top - PAD, out};
    int width = unit(page->width), height = unit(system->box.bottom + PAD - line.top);
    double mm = svg->faces->space_mm / 100;
    long micrometres = lround(width * mm * 1000), high = lround(height * mm * 1000);
    buffer_format(out, "<svg viewBox=\"0 0 %d %d\" width=\"%ld.%03ldmm\" height=\"%ld.%03ldmm\">",
                  width, height, micrometres / 1000, micrometres % 1000, high / 1000, high % 1000);
    add_strokes(&line);
    add_fills(&line);
    add_groups(&line);
    buffer_add_text(out, "</svg>\n");
}
