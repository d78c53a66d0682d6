#include "draw/text_labels.h"

#include "base/table.h"
#include "base/vector.h"

#include <math.h>
#include <string.h>

#define POINTS_IN_MM (72 / 25.4)

struct label {
    const char *text;
    size_t length;
    struct label_run *runs;
    size_t run_count;
    struct label_metrics metrics;
    uint8_t style; /* enum text_style */
    bool joined;   /* see struct label_runs */
    bool centred;  /* `centre` is known */
    sp centre;
    double across; /* thousandths of a space in an em of its letters */
};

/* A style on this paper. */
struct style_size {
    double points; /* of an em on paper; 0: not known yet */
    double scale;  /* thousandths of a space in an em */
    double width;  /* of the letters, in proportion */
    sp ascent, descent;
};

struct text_labels {
    struct arena *arena;
    struct text_family *family;
    struct text_setter *setter;
    double points_per_space;
    int staff_size; /* per thousand */
    struct style_size sizes[TEXT_STYLE_COUNT];
    VECTOR(struct label) labels;
    VECTOR(struct label_pen) pens;
    VECTOR(label_id) lines;        /* the last paragraph's */
    VECTOR(struct label_run) runs; /* of the label in the making */
    struct table table;            /* labels by style and text */
    /* The label in the making, in ems. */
    enum text_style style;
    double pen_x;
    struct text_ink ink;
};

/* ---- opening and closing ------------------------------------------------------------------ */

struct text_labels *text_labels_open(double space_mm, missing_characters *missing,
                                     struct diags *diags)
{
    struct text_labels *labels = memory_alloc(sizeof *labels);
    struct text_family *family = text_family_open(diags);
    *labels = (struct text_labels){.arena = arena_new(),
                                   .family = family,
                                   .setter = text_setter_open(family, missing),
                                   .points_per_space = space_mm * POINTS_IN_MM,
                                   .staff_size = 1000};
    return labels;
}

static void release_pens(struct text_labels *labels)
{
    for (size_t i = 0; i < labels->pens.count; i++)
        cairo_font_face_destroy(labels->pens.items[i].face);
}

void text_labels_close(struct text_labels *labels)
{
    release_pens(labels);
    text_setter_close(labels->setter);
    text_family_close(labels->family);
    arena_free(labels->arena);
    memory_free(labels);
}

void text_labels_renew(struct text_labels *labels, double space_mm)
{
    release_pens(labels);
    arena_reset(labels->arena);
    *labels = (struct text_labels){.arena = labels->arena,
                                   .family = labels->family,
                                   .setter = labels->setter,
                                   .points_per_space = space_mm * POINTS_IN_MM,
                                   .staff_size = 1000};
}

void text_labels_resize(struct text_labels *labels, double space_mm)
{
    if (space_mm * POINTS_IN_MM != labels->points_per_space)
        text_labels_renew(labels, space_mm);
}

/* ---- sizes and pens ----------------------------------------------------------------------- */

static const struct style_size *size_of(struct text_labels *labels, enum text_style style)
{
    struct style_size *size = &labels->sizes[style];
    if (size->points != 0)
        return size;
    const struct text_style_row *row = text_style(style);
    double ascent, descent;
    text_font_extents(text_family_font(labels->family, row), &ascent, &descent);
    size->points =
        text_style_mm(style, labels->points_per_space / POINTS_IN_MM, labels->staff_size) *
        POINTS_IN_MM;
    size->scale = size->points / labels->points_per_space * 1000;
    size->width = row->width > 0 ? row->width : 1;
    size->ascent = (sp)lround(ascent * size->scale);
    size->descent = (sp)lround(descent * size->scale);
    return size;
}

static double across_of(struct text_labels *labels, enum text_style style)
{
    const struct style_size *size = size_of(labels, style);
    return size->scale * size->width;
}

static bool same_matrix(const cairo_matrix_t *a, const cairo_matrix_t *b)
{
    return a->xx == b->xx && a->xy == b->xy && a->x0 == b->x0 && a->yx == b->yx && a->yy == b->yy &&
           a->y0 == b->y0;
}

/* The pen for a stretch at the size of the style. The matrix keeps the slant of a font that was
   slanted. */
static uint32_t pen_of(struct text_labels *labels, const struct text_stretch *stretch)
{
    const struct style_size *size = size_of(labels, labels->style);
    struct label_pen pen = {.face = stretch->face,
                            .matrix = stretch->em,
                            .grey = text_style(labels->style)->grey,
                            .space = stretch->space};
    cairo_matrix_scale(&pen.matrix, size->points * size->width, size->points);
    for (size_t i = 0; i < labels->pens.count; i++) {
        const struct label_pen *other = &labels->pens.items[i];
        if (other->face == pen.face && other->grey == pen.grey &&
            same_matrix(&other->matrix, &pen.matrix))
            return (uint32_t)i;
    }
    cairo_font_face_reference(pen.face);
    *vector_push(&labels->pens, labels->arena) = pen;
    return (uint32_t)labels->pens.count - 1;
}

/* ---- runs --------------------------------------------------------------------------------- */

/* Glyphs without ink are left out. */
static void convert_glyphs(struct text_labels *labels, const struct text_stretch *from,
                           struct label_run *run)
{
    const struct style_size *size = size_of(labels, labels->style);
    double points = size->points, across = points * size->width;
    cairo_glyph_t *glyphs = arena_array(labels->arena, from->count, sizeof *glyphs);
    for (size_t i = 0; i < from->count; i++)
        if (from->glyphs[i].shown)
            glyphs[run->glyph_count++] =
                (cairo_glyph_t){from->glyphs[i].index, (labels->pen_x + from->glyphs[i].x) * across,
                                from->glyphs[i].y * points};
    run->glyphs = glyphs;
}

/* Clusters are in the order of the text. For a run from right to left cairo begins with the last
   glyph. */
static void convert_clusters(struct text_labels *labels, const struct text_stretch *from,
                             struct label_run *run)
{
    cairo_text_cluster_t *clusters = arena_array(labels->arena, from->count, sizeof *clusters);
    size_t start = 0;
    for (size_t i = 0; i < from->count; i++) {
        const struct text_glyph *glyph = &from->glyphs[run->backward ? from->count - 1 - i : i];
        if (i == 0 || glyph->cluster != start) {
            if (i)
                clusters[run->cluster_count - 1].num_bytes = (int)(glyph->cluster - start);
            run->cluster_count++;
            start = glyph->cluster;
        }
        clusters[run->cluster_count - 1].num_glyphs += glyph->shown;
    }
    if (run->cluster_count)
        clusters[run->cluster_count - 1].num_bytes = (int)(from->length - start);
    run->clusters = clusters;
}

/* The space at the end of a broken line has no glyph and would need an ActualText in a PDF. */
static void drop_silent_end(struct label_run *run)
{
    while (run->cluster_count > 1 && run->clusters[run->cluster_count - 1].num_glyphs == 0) {
        run->cluster_count--;
        run->byte_count -= (size_t)run->clusters[run->cluster_count].num_bytes;
    }
}

/* Runs come from left to right and are kept in the order in which they are read. */
static void keep_run(struct text_labels *labels, struct label_run run)
{
    vector_push(&labels->runs, labels->arena);
    size_t at = labels->runs.count - 1;
    for (; at > 0 && labels->runs.items[at - 1].from > run.from; at--)
        labels->runs.items[at] = labels->runs.items[at - 1];
    labels->runs.items[at] = run;
}

static void take_run(void *closure, const struct text_stretch *stretch)
{
    struct text_labels *labels = closure;
    struct label_run run = {.pen = pen_of(labels, stretch),
                            .backward = stretch->backward,
                            .byte_count = stretch->length,
                            .from = stretch->text};
    struct text_ink ink = stretch->ink;
    ink.left += labels->pen_x;
    ink.right += labels->pen_x;
    text_ink_add(&labels->ink, ink);
    run.bytes = arena_copy_text(labels->arena, stretch->text, stretch->length);
    convert_glyphs(labels, stretch, &run);
    convert_clusters(labels, stretch, &run);
    drop_silent_end(&run);
    labels->pen_x += stretch->advance;
    keep_run(labels, run);
}

/* ---- labels ------------------------------------------------------------------------------- */

static void begin_label(struct text_labels *labels, enum text_style style)
{
    labels->style = style;
    labels->runs.count = 0;
    labels->pen_x = 0;
    labels->ink = TEXT_INK_NONE;
}

static struct label_metrics measure(struct text_labels *labels)
{
    const struct style_size *size = size_of(labels, labels->style);
    const struct text_ink *ink = &labels->ink;
    double across = across_of(labels, labels->style);
    struct label_metrics metrics = {.ink = {0, 0, -1, -1},
                                    .advance = (sp)lround(labels->pen_x * across),
                                    .ascent = size->ascent,
                                    .descent = size->descent};
    if (ink->right >= ink->left)
        metrics.ink =
            (struct box){(sp)floor(ink->left * across), (sp)floor(ink->top * size->scale),
                         (sp)ceil(ink->right * across), (sp)ceil(ink->bottom * size->scale)};
    return metrics;
}

/* Keeps what was gathered since begin_label() as a new label. */
static label_id end_label(struct text_labels *labels, const char *text, size_t length)
{
    struct label label = {.text = arena_copy_text(labels->arena, text, length),
                          .length = length,
                          .run_count = labels->runs.count,
                          .metrics = measure(labels),
                          .style = (uint8_t)labels->style,
                          .across = across_of(labels, labels->style)};
    label.runs = arena_array(labels->arena, label.run_count, sizeof *label.runs);
    if (label.run_count)
        memcpy(label.runs, labels->runs.items, label.run_count * sizeof *label.runs);
    *vector_push(&labels->labels, labels->arena) = label;
    return (label_id)labels->labels.count - 1;
}

static label_id make_label(struct text_labels *labels, enum text_style style, const char *text,
                           size_t length)
{
    begin_label(labels, style);
    text_setter_line(labels->setter, style, text, length, take_run, labels);
    return end_label(labels, text, length);
}

/* ---- the table ---------------------------------------------------------------------------- */

static label_id find_label(void *self, enum text_style style, const char *text, size_t length)
{
    struct text_labels *labels = self;
    uint64_t hash = hash_join(hash_bytes(text, length), style);
    struct table_search search = table_search(&labels->table, hash);
    double across = across_of(labels, style);
    for (size_t i; table_next(&search, &i);) {
        const struct label *label = &labels->labels.items[i];
        if (label->style == style && label->across == across && label->length == length &&
            memcmp(label->text, text, length) == 0)
            return (label_id)i;
    }
    label_id label = make_label(labels, style, text, length);
    table_add(&labels->table, hash, label, labels->arena);
    return label;
}

/* ---- paragraphs --------------------------------------------------------------------------- */

static void add_line(struct text_labels *labels, label_id line)
{
    *vector_push(&labels->lines, labels->arena) = line;
}

/* A line that ends within a word gets a label of its own, as others share those of the table. */
static void add_plain_line(struct text_labels *labels, enum text_style style,
                           const struct text_line *line)
{
    label_id label = line->joined ? make_label(labels, style, line->text, line->length)
                                  : find_label(labels, style, line->text, line->length);
    labels->labels.items[label].joined = line->joined;
    add_line(labels, label);
}

/* A line of a paragraph that is not plain is kept outside the table: the same text by itself might
   run the other way. */
static void end_line(void *closure, struct text_line line)
{
    struct text_labels *labels = closure;
    label_id label = end_label(labels, line.text, line.length);
    labels->labels.items[label].metrics.backward = line.backward;
    labels->labels.items[label].joined = line.joined;
    add_line(labels, label);
    begin_label(labels, labels->style);
}

/* Most texts fit on one line. So try one label first. */
static bool wrap_one(struct text_labels *labels, enum text_style style, const char *text,
                     size_t length, sp width)
{
    while (length && text[length - 1] == ' ')
        length--;
    if (!text_is_plain(text, length))
        return false;
    label_id whole = find_label(labels, style, text, length);
    if (text_labels_metrics(labels, whole)->advance > width)
        return false;
    add_line(labels, whole);
    return true;
}

static size_t wrap(void *self, enum text_style style, const char *text, size_t length, sp width,
                   const label_id **lines)
{
    struct text_labels *labels = self;
    const struct text_line *plain;
    size_t count = 0;
    double ems = width / across_of(labels, style);
    labels->lines.count = 0;
    if (!wrap_one(labels, style, text, length, width) &&
        !text_setter_break(labels->setter, style, text, length, ems, &plain, &count)) {
        begin_label(labels, style);
        text_setter_paragraph(labels->setter, style, text, length, ems, take_run, end_line, labels);
    }
    for (size_t i = 0; i < count; i++)
        add_plain_line(labels, style, &plain[i]);
    *lines = labels->lines.items;
    return labels->lines.count;
}

/* ---- asking ------------------------------------------------------------------------------- */

const struct label_metrics *text_labels_metrics(const struct text_labels *labels, label_id label)
{
    return &labels->labels.items[label].metrics;
}

/* The eye goes by both. An L centred by its box, whose foot counts as much as its stem, looks too
   far left; one centred by its mass alone, too far right. */
enum { MASS_SHARE = 500 }; /* per thousand; the rest is the middle of the ink box */

static sp find_centre(struct text_labels *labels, const struct label *found)
{
    enum text_style style = (enum text_style)found->style;
    struct text_font *font = text_family_font(labels->family, text_style(style));
    struct text_stretch stretch;
    double middle = (found->metrics.ink.left + found->metrics.ink.right) / 2.0, mass = INFINITY;
    if (text_font_set(font, found->text, found->length, &stretch))
        mass = text_font_balance(font, &stretch);
    if (isfinite(mass))
        middle += (mass * found->across - middle) * MASS_SHARE / 1000;
    return (sp)lround(middle);
}

static sp centre_of(void *self, label_id label)
{
    struct text_labels *labels = self;
    struct label *asked = &labels->labels.items[label];
    if (!asked->centred)
        asked->centre = find_centre(labels, asked);
    asked->centred = true;
    return asked->centre;
}

static void set_staff_size(void *self, int size)
{
    struct text_labels *labels = self;
    if (labels->staff_size == size)
        return;
    labels->staff_size = size;
    memset(labels->sizes, 0, sizeof labels->sizes);
}

static const struct label_metrics *metrics_of(void *self, label_id label)
{
    return text_labels_metrics(self, label);
}

void text_labels_measures(struct text_labels *labels, struct metrics *metrics)
{
    metrics->self = labels;
    metrics->staff_size = set_staff_size;
    metrics->label = find_label;
    metrics->label_metrics = metrics_of;
    metrics->label_centre = centre_of;
    metrics->wrap = wrap;
}

const char *text_labels_text(const struct text_labels *labels, label_id label)
{
    return labels->labels.items[label].text;
}

struct label_runs text_labels_runs(const struct text_labels *labels, label_id label)
{
    const struct label *found = &labels->labels.items[label];
    return (struct label_runs){found->runs, found->run_count, found->joined};
}

const struct label_pen *text_labels_pen(const struct text_labels *labels, uint32_t pen)
{
    return &labels->pens.items[pen];
}

size_t text_labels_pen_count(const struct text_labels *labels)
{
    return labels->pens.count;
}
