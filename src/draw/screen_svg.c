#include "draw/screen_svg.h"

#include "base/vector.h"
#include "draw/faces.h"
#include "draw/text_setter.h"
#include "model/score.h"

#include <math.h>
#include <stdlib.h>

/* ---- shapes that lines share ---------------------------------------------------------------- */

/* A sign, a short text or a letter of a long one, at one size; its number is its place in the row.
 */
enum shape_kind { SHAPE_OF_SIGN, SHAPE_OF_TEXT, SHAPE_OF_LETTER };
struct shape {
    enum shape_kind kind;
    uint32_t what; /* enum glyph, label, or a glyph of the pen */
    uint32_t pen;
    uint16_t scale;
    double grey;
};

/* A text of more glyphs is set letter by letter: few texts are so long, and none comes twice. */
enum { SHORT_TEXT = 6 };

struct screen_svg {
    const struct faces *faces;
    const char *name; /* before the names of its shapes */
    struct arena *arena;
    cairo_surface_t *surface;
    cairo_t *cairo; /* turns glyphs into outlines; never inks */
    VECTOR(struct shape) shapes;
    struct buffer outlines;
};

enum { SP_UNIT = 10 }; /* thousandths of a space in a unit of the drawing */

struct screen_svg *screen_svg_open(const struct faces *faces, const char *name)
{
    struct screen_svg *svg = memory_alloc(sizeof *svg);
    *svg = (struct screen_svg){.faces = faces, .name = name, .arena = arena_new()};
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

/* Where a path has come to. Points are given from there: small numbers are short. */
struct tracing {
    struct buffer *out;
    long x, y;
};

static void add_number(struct buffer *out, long number, bool first)
{
    buffer_format(out, first || number < 0 ? "%ld" : " %ld", number);
}

static void add_points(struct tracing *path, char letter, const cairo_path_data_t *points,
                       int count)
{
    long x = 0, y = 0;
    buffer_add(path->out, &letter, 1);
    for (int i = 0; i < count; i++) {
        x = lround(points[i].point.x);
        y = lround(points[i].point.y);
        add_number(path->out, x - path->x, i == 0);
        add_number(path->out, y - path->y, false);
    }
    path->x = x;
    path->y = y;
}

/* Adds the cairo context's current path to the outlines, and clears it in the context. */
static void take_outline(struct screen_svg *svg)
{
    cairo_path_t *path = cairo_copy_path(svg->cairo);
    struct tracing tracing = {&svg->outlines, 0, 0};
    cairo_path_data_t begun = {0};
    for (int i = 0; i < path->num_data; i += path->data[i].header.length) {
        const cairo_path_data_t *data = &path->data[i];
        switch (data->header.type) {
        case CAIRO_PATH_MOVE_TO:
            begun = data[1];
            if (i + data->header.length < path->num_data) /* cairo ends with an empty move */
                add_points(&tracing, 'm', data + 1, 1);
            break;
        case CAIRO_PATH_LINE_TO:
            add_points(&tracing, 'l', data + 1, 1);
            break;
        case CAIRO_PATH_CURVE_TO:
            add_points(&tracing, 'c', data + 1, 3);
            break;
        case CAIRO_PATH_CLOSE_PATH:
            buffer_add_text(&svg->outlines, "z");
            tracing.x = lround(begun.point.x);
            tracing.y = lround(begun.point.y);
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
static double label_size(const struct screen_svg *svg, uint16_t scale)
{
    return (scale ? scale : 1000) / 1000.0 / faces_points_per_sp(svg->faces) / SP_UNIT;
}

static double outline_glyphs(struct screen_svg *svg, uint32_t number, const cairo_glyph_t *row,
                             size_t count, double size)
{
    const struct label_pen *pen = text_labels_pen(svg->faces->labels, number);
    cairo_matrix_t matrix = pen->matrix;
    cairo_matrix_scale(&matrix, size, size);
    cairo_glyph_t *glyphs = arena_array(svg->arena, count, sizeof *glyphs);
    for (size_t i = 0; i < count; i++)
        glyphs[i] = (cairo_glyph_t){row[i].index, row[i].x * size, row[i].y * size};
    cairo_set_font_face(svg->cairo, pen->face);
    cairo_set_font_matrix(svg->cairo, &matrix);
    cairo_glyph_path(svg->cairo, glyphs, (int)count);
    take_outline(svg);
    return pen->grey;
}

static double outline_label(struct screen_svg *svg, label_id label, uint16_t scale)
{
    struct label_runs runs = text_labels_runs(svg->faces->labels, label);
    double grey = 0;
    for (size_t i = 0; i < runs.count; i++) {
        const struct label_run *run = &runs.runs[i];
        grey = outline_glyphs(svg, run->pen, run->glyphs, run->glyph_count, label_size(svg, scale));
    }
    return grey;
}

static double outline(struct screen_svg *svg, const struct shape *shape)
{
    switch (shape->kind) {
    case SHAPE_OF_SIGN:
        outline_sign(svg, (enum glyph)shape->what, shape->scale);
        return 0;
    case SHAPE_OF_TEXT:
        return outline_label(svg, shape->what, shape->scale);
    case SHAPE_OF_LETTER:
        break;
    }
    return outline_glyphs(svg, shape->pen, &(cairo_glyph_t){shape->what, 0, 0}, 1,
                          label_size(svg, shape->scale));
}

static char letter_of(const struct shape *shape)
{
    return shape->kind == SHAPE_OF_SIGN ? 's' : 't';
}

static size_t shape_number(struct screen_svg *svg, struct shape wanted)
{
    for (size_t i = 0; i < svg->shapes.count; i++) {
        const struct shape *shape = &svg->shapes.items[i];
        if (shape->kind == wanted.kind && shape->what == wanted.what && shape->pen == wanted.pen &&
            shape->scale == wanted.scale)
            return i;
    }
    buffer_format(&svg->outlines, "<path id=\"%s%c%zu\" d=\"", svg->name, letter_of(&wanted),
                  svg->shapes.count);
    wanted.grey = outline(svg, &wanted);
    buffer_add_text(&svg->outlines, wanted.grey > 0.4 ? "\" class=\"pale\"/>\n" : "\"/>\n");
    *vector_push(&svg->shapes, svg->arena) = wanted;
    return svg->shapes.count - 1;
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

static void use_at(const struct drawn_line *line, struct shape shape, int x, int y)
{
    size_t number = shape_number(line->svg, shape);
    buffer_format(line->out, "<use href=#%s%c%zu x=%d y=%d />", line->svg->name, letter_of(&shape),
                  number, x, y);
}

static void use_letters(const struct drawn_line *line, const struct label_run *run, uint16_t scale,
                        int x, int y)
{
    double size = label_size(line->svg, scale);
    unsigned long space = text_labels_pen(line->svg->faces->labels, run->pen)->space;
    for (size_t i = 0; i < run->glyph_count; i++) {
        const cairo_glyph_t *glyph = &run->glyphs[i];
        struct shape letter = {SHAPE_OF_LETTER, (uint32_t)glyph->index, run->pen, scale, 0};
        if (!space || glyph->index != space)
            use_at(line, letter, x + (int)lround(glyph->x * size),
                   y + (int)lround(glyph->y * size));
    }
}

static void use_label(const struct drawn_line *line, const struct mark *mark, int x, int y)
{
    struct label_runs runs = text_labels_runs(line->svg->faces->labels, mark->with.label);
    size_t glyphs = 0;
    for (size_t i = 0; i < runs.count; i++)
        glyphs += runs.runs[i].glyph_count;
    if (glyphs <= SHORT_TEXT)
        use_at(line, (struct shape){SHAPE_OF_TEXT, mark->with.label, 0, mark->scale, 0}, x, y);
    for (size_t i = 0; i < runs.count && glyphs > SHORT_TEXT; i++)
        use_letters(line, &runs.runs[i], mark->scale, x, y);
}

static void use(const struct drawn_line *line, const struct mark *mark)
{
    int x = unit(mark->as.at.x), y = unit(mark->as.at.y - line->top);
    if (mark->shape == SHAPE_GLYPH)
        use_at(line, (struct shape){SHAPE_OF_SIGN, mark->glyph, 0, mark->scale, 0}, x, y);
    else
        use_label(line, mark, x, y);
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
    if (mark_is_opaque(mark))
        return false;
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
        buffer_format(line->out, "<path class=line stroke-width=%d d=\"", unit(mark->with.width));
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

/* How many bars of the score a shown one stands for. */
static uint32_t bars_in(const struct score_bar *bar)
{
    return bar->repeats ? bar->repeats : bar->rests ? bar->rests : 1;
}

/* The script counts the bars that are played: a sign that repeats two has a group for each, the
   first innermost. Returns how many. */
static uint32_t begin_groups(const struct drawn_line *line, const struct sounding *of)
{
    const struct score_bar *bars = line->system->shown->bars;
    uint32_t first = 0, count = bars[of->bar].repeats == 2 ? 2 : 1;
    for (uint32_t i = 0; i < of->bar; i++)
        first += bars_in(&bars[i]);
    for (uint32_t i = count; i-- > 0;) {
        buffer_format(line->out, "<g data-of=%u", (unsigned)(first + i));
        if (of->leaf != OWNER_NONE)
            buffer_format(line->out, ".%u.%u", (unsigned)of->line, (unsigned)of->leaf);
        buffer_add_text(line->out, ">");
    }
    return count;
}

static void end_groups(const struct drawn_line *line, uint32_t count)
{
    while (count-- > 0)
        buffer_add_text(line->out, "</g>");
}

static void add_groups(const struct drawn_line *line)
{
    VECTOR(struct sounding) all = {0};
    for (size_t i = 0; i < line->system->mark_count; i++) {
        const struct mark *mark = mark_at(line, i);
        bool placed = mark->shape == SHAPE_GLYPH || mark->shape == SHAPE_LABEL;
        struct mark_owner owner = owner_of(line, mark);
        bool whole = mark->role == ROLE_BAR_REPEAT || mark->role == ROLE_BAR_REST;
        if (placed && sounds(mark) && owner.bar != OWNER_NONE)
            *vector_push(&all, NULL) = (struct sounding){mark, owner.bar, owner.line,
                                                         whole ? OWNER_NONE : owner.stroke, i};
        else if (placed)
            use(line, mark);
    }
    vector_sort(&all, by_owner);
    uint32_t open = 0;
    for (size_t i = 0; i < all.count; i++) {
        const struct sounding *now = &all.items[i], *before = i ? now - 1 : NULL;
        bool begins = !before || before->bar != now->bar || before->line != now->line ||
                      before->leaf != now->leaf;
        if (begins) {
            end_groups(line, open);
            open = begin_groups(line, now);
        }
        use(line, now->mark);
    }
    end_groups(line, open);
    vector_release(&all);
}

/* One after the other, so that each covers those before it. */
static void add_opaque(const struct drawn_line *line)
{
    for (size_t i = 0; i < line->system->mark_count; i++) {
        const struct mark *mark = mark_at(line, i);
        if (!mark_is_opaque(mark))
            continue;
        buffer_format(line->out, "<path class=disc stroke-width=%d d=\"", unit(mark->with.width));
        trace_stroke(line, mark);
        buffer_add_text(line->out, "\"/>");
    }
}

/* `height` in units of the drawing. */
static void begin_svg(const struct drawn_line *line, int height)
{
    int width = unit(line->page->width);
    double mm = line->svg->faces->space_mm / 100;
    long across = lround(width * mm * 1000), high = lround(height * mm * 1000);
    buffer_format(line->out,
                  "<svg viewBox=\"0 0 %d %d\" width=\"%ld.%03ldmm\" height=\"%ld.%03ldmm\">", width,
                  height, across / 1000, across % 1000, high / 1000, high % 1000);
}

void screen_svg_line(struct screen_svg *svg, const struct page *page,
                     const struct page_system *system, struct buffer *out)
{
    enum { PAD = 600 }; /* room for the marking around what sounds */
    struct drawn_line line = {svg, page, system, system->box.top - PAD, out};
    begin_svg(&line, unit(system->box.bottom + PAD - line.top));
    add_strokes(&line);
    add_fills(&line);
    add_groups(&line);
    buffer_add_text(out, "</svg>\n");
}

void screen_svg_page(struct screen_svg *svg, const struct page *page, struct buffer *out)
{
    struct page_system whole = {.first_mark = 0, .mark_count = page->mark_count};
    struct drawn_line line = {svg, page, &whole, 0, out};
    begin_svg(&line, unit(page->height));
    add_opaque(&line);
    add_strokes(&line);
    add_fills(&line);
    for (size_t i = 0; i < page->mark_count; i++)
        if (page->marks[i].shape == SHAPE_GLYPH || page->marks[i].shape == SHAPE_LABEL)
            use(&line, &page->marks[i]);
    buffer_add_text(out, "</svg>\n");
}
