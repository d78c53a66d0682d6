#include "draw/text_labels.h"

#include "base/vector.h"
#include "draw/text_setter.h"

#include <math.h>
#include <string.h>

enum { SLOTS_FIRST = 256 };
#define NO_LABEL UINT32_MAX

struct label {
    const char *text;
    size_t length;
    struct label_run *runs;
    size_t run_count;
    struct label_metrics metrics;
    uint32_t hash;
    uint8_t style; /* enum text_style */
};

/* What a style comes to on this paper. */
struct style_size {
    bool ready;
    double points;      /* em */
    double sp_per_unit; /* thousandths of a space in a Pango unit at the nominal size */
    sp ascent, descent;
};

struct text_labels {
    struct arena *arena;
    struct text_setter *setter;
    double points_per_space;
    struct style_size sizes[TEXT_STYLE_COUNT];
    VECTOR(struct label) labels;
    VECTOR(struct label_pen) pens;
    VECTOR(label_id) lines;        /* the last paragraph's */
    VECTOR(struct label_run) runs; /* of the label in the making */
    label_id *slots;               /* open addressing; NO_LABEL: free */
    size_t slot_count;             /* a power of two, at least twice the labels */
    /* The label in the making. */
    enum text_style style;
    double pen_x; /* Pango units at the nominal size */
    PangoRectangle ink;
};

/* ---- opening and closing ------------------------------------------------------------------ */

static label_id *slots_new(size_t count)
{
    label_id *slots = memory_alloc(count * sizeof *slots);
    memset(slots, 0xFF, count * sizeof *slots);
    return slots;
}

struct text_labels *text_labels_open(double space_mm, struct diags *diags)
{
    struct text_labels *labels = memory_alloc(sizeof *labels);
    *labels = (struct text_labels){.arena = arena_new(),
                                   .setter = text_setter_open(diags),
                                   .points_per_space = space_mm * 72 / 25.4,
                                   .slots = slots_new(SLOTS_FIRST),
                                   .slot_count = SLOTS_FIRST};
    return labels;
}

void text_labels_close(struct text_labels *labels)
{
    if (!labels)
        return;
    for (size_t i = 0; i < labels->pens.count; i++)
        cairo_font_face_destroy(labels->pens.items[i].face);
    text_setter_close(labels->setter);
    memory_free(labels->slots);
    arena_free(labels->arena);
    memory_free(labels);
}

/* ---- sizes and pens ----------------------------------------------------------------------- */

static const struct style_size *size_of(struct text_labels *labels, enum text_style style)
{
    struct style_size *size = &labels->sizes[style];
    if (size->ready)
        return size;
    const struct text_style_row *row = text_style(style);
    double ascent, descent;
    text_setter_extents(labels->setter, style, &ascent, &descent);
    size->points = row->of_staff ? row->size * labels->points_per_space : row->size * 72 / 25.4;
    double sp_per_point = 1000 / labels->points_per_space * size->points / TEXT_NOMINAL;
    size->sp_per_unit = sp_per_point / PANGO_SCALE;
    size->ascent = (sp)lround(ascent * sp_per_point);
    size->descent = (sp)lround(descent * sp_per_point);
    size->ready = true;
    return size;
}

static bool same_shape(const cairo_matrix_t *a, const cairo_matrix_t *b)
{
    return a->xx == b->xx && a->xy == b->xy && a->yx == b->yx && a->yy == b->yy;
}

/* The pen for a font at a style's size: the matrix keeps a slant that was asked of the font. */
static uint32_t pen_of(struct text_labels *labels, PangoFont *font)
{
    cairo_scaled_font_t *scaled = pango_cairo_font_get_scaled_font(PANGO_CAIRO_FONT(font));
    double scale = size_of(labels, labels->style)->points / TEXT_NOMINAL;
    struct label_pen pen = {.face = cairo_scaled_font_get_font_face(scaled),
                            .grey = text_style(labels->style)->grey};
    cairo_scaled_font_get_font_matrix(scaled, &pen.matrix);
    cairo_matrix_scale(&pen.matrix, scale, scale);
    for (size_t i = 0; i < labels->pens.count; i++) {
        const struct label_pen *other = &labels->pens.items[i];
        if (other->face == pen.face && other->grey == pen.grey &&
            same_shape(&other->matrix, &pen.matrix))
            return (uint32_t)i;
    }
    cairo_font_face_reference(pen.face);
    *vector_push(&labels->pens, labels->arena) = pen;
    return (uint32_t)labels->pens.count - 1;
}

/* ---- runs --------------------------------------------------------------------------------- */

/* Glyph positions in points; Pango's empty glyphs (marks of direction and the like) are left out,
   characters that no font has become the font's own box. */
static void convert_glyphs(struct text_labels *labels, const PangoGlyphString *from,
                           struct label_run *run)
{
    double scale = size_of(labels, labels->style)->points / TEXT_NOMINAL / PANGO_SCALE;
    cairo_glyph_t *glyphs = arena_array(labels->arena, (size_t)from->num_glyphs, sizeof *glyphs);
    for (int i = 0; i < from->num_glyphs; i++) {
        const PangoGlyphInfo *info = &from->glyphs[i];
        if (info->glyph != PANGO_GLYPH_EMPTY)
            glyphs[run->glyph_count++] =
                (cairo_glyph_t){.index = info->glyph & PANGO_GLYPH_UNKNOWN_FLAG ? 0 : info->glyph,
                                .x = (labels->pen_x + info->geometry.x_offset) * scale,
                                .y = info->geometry.y_offset * scale};
        labels->pen_x += info->geometry.width;
    }
    run->glyphs = glyphs;
}

/* Clusters in the order of the text: cairo walks the glyphs from the last where a run is written
   right to left. */
static void convert_clusters(struct text_labels *labels, const PangoGlyphString *from, int length,
                             struct label_run *run)
{
    cairo_text_cluster_t *clusters =
        arena_array(labels->arena, (size_t)from->num_glyphs, sizeof *clusters);
    int count = from->num_glyphs;
    int previous = -1;
    for (int i = 0; i < count; i++) {
        int at = run->backward ? count - 1 - i : i;
        int start = from->log_clusters[at];
        if (start != previous) {
            if (run->cluster_count)
                clusters[run->cluster_count - 1].num_bytes = start - previous;
            run->cluster_count++;
            previous = start;
        }
        if (from->glyphs[at].glyph != PANGO_GLYPH_EMPTY)
            clusters[run->cluster_count - 1].num_glyphs++;
    }
    if (run->cluster_count)
        clusters[run->cluster_count - 1].num_bytes = length - previous;
    run->clusters = clusters;
}

static void add_ink(PangoRectangle *all, const PangoRectangle *more, int x)
{
    if (more->width <= 0 || more->height <= 0)
        return;
    if (all->width == 0) {
        *all = (PangoRectangle){more->x + x, more->y, more->width, more->height};
        return;
    }
    int right = MAX(all->x + all->width, more->x + x + more->width);
    int bottom = MAX(all->y + all->height, more->y + more->height);
    all->x = MIN(all->x, more->x + x);
    all->y = MIN(all->y, more->y);
    all->width = right - all->x;
    all->height = bottom - all->y;
}

static void take_run(void *closure, const PangoAnalysis *analysis, const PangoGlyphString *glyphs,
                     const char *text, int length)
{
    struct text_labels *labels = closure;
    PangoRectangle ink;
    struct label_run run = {.pen = pen_of(labels, analysis->font),
                            .backward = analysis->level % 2 != 0,
                            .byte_count = (size_t)length};
    pango_glyph_string_extents((PangoGlyphString *)(uintptr_t)glyphs, analysis->font, &ink, NULL);
    add_ink(&labels->ink, &ink, (int)labels->pen_x);
    run.bytes = arena_copy_text(labels->arena, text, (size_t)length);
    convert_glyphs(labels, glyphs, &run);
    convert_clusters(labels, glyphs, length, &run);
    *vector_push(&labels->runs, labels->arena) = run;
}

/* ---- labels ------------------------------------------------------------------------------- */

static void begin_label(struct text_labels *labels, enum text_style style)
{
    labels->style = style;
    labels->runs.count = 0;
    labels->pen_x = 0;
    labels->ink = (PangoRectangle){0};
}

static struct label_metrics measure(struct text_labels *labels)
{
    const struct style_size *size = size_of(labels, labels->style);
    const PangoRectangle *ink = &labels->ink;
    double unit = size->sp_per_unit;
    struct label_metrics metrics = {.ink = {0, 0, -1, -1},
                                    .advance = (sp)lround(labels->pen_x * unit),
                                    .ascent = size->ascent,
                                    .descent = size->descent};
    if (ink->width > 0)
        metrics.ink = (struct box){(sp)floor(ink->x * unit), (sp)floor(ink->y * unit),
                                   (sp)ceil((ink->x + ink->width) * unit),
                                   (sp)ceil((ink->y + ink->height) * unit)};
    return metrics;
}

/* Keeps what was gathered since begin_label() as a new label. */
static label_id end_label(struct text_labels *labels, const char *text, size_t length)
{
    struct label label = {.text = arena_copy_text(labels->arena, text, length),
                          .length = length,
                          .run_count = labels->runs.count,
                          .metrics = measure(labels),
                          .style = (uint8_t)labels->style};
    label.runs = arena_array(labels->arena, label.run_count, sizeof *label.runs);
    if (label.run_count)
        memcpy(label.runs, labels->runs.items, label.run_count * sizeof *label.runs);
    *vector_push(&labels->labels, labels->arena) = label;
    return (label_id)labels->labels.count - 1;
}

/* ---- the table ---------------------------------------------------------------------------- */

/* FNV-1a over the style and the text. */
static uint32_t hash_of(enum text_style style, const char *text, size_t length)
{
    uint32_t hash = (2166136261u ^ (uint32_t)style) * 16777619u;
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ (unsigned char)text[i]) * 16777619u;
    return hash;
}

/* The slot that holds the text's label, or the free one where it belongs. */
static label_id *slot_of(struct text_labels *labels, uint32_t hash, enum text_style style,
                         const char *text, size_t length)
{
    size_t mask = labels->slot_count - 1;
    for (size_t i = hash & mask;; i = (i + 1) & mask) {
        if (labels->slots[i] == NO_LABEL)
            return &labels->slots[i];
        const struct label *label = &labels->labels.items[labels->slots[i]];
        if (label->hash == hash && label->style == style && label->length == length &&
            memcmp(label->text, text, length) == 0)
            return &labels->slots[i];
    }
}

static void grow_table(struct text_labels *labels)
{
    label_id *old = labels->slots;
    size_t old_count = labels->slot_count;
    labels->slot_count *= 2;
    labels->slots = slots_new(labels->slot_count);
    size_t mask = labels->slot_count - 1;
    for (size_t i = 0; i < old_count; i++) {
        if (old[i] == NO_LABEL)
            continue;
        size_t at = labels->labels.items[old[i]].hash & mask;
        while (labels->slots[at] != NO_LABEL)
            at = (at + 1) & mask;
        labels->slots[at] = old[i];
    }
    memory_free(old);
}

label_id text_labels_find(struct text_labels *labels, enum text_style style, const char *text,
                          size_t length)
{
    uint32_t hash = hash_of(style, text, length);
    label_id *slot = slot_of(labels, hash, style, text, length);
    if (*slot != NO_LABEL)
        return *slot;
    begin_label(labels, style);
    text_setter_line(labels->setter, style, text, length, take_run, labels);
    label_id label = *slot = end_label(labels, text, length);
    labels->labels.items[label].hash = hash;
    if (labels->labels.count * 2 > labels->slot_count)
        grow_table(labels);
    return label;
}

/* ---- paragraphs --------------------------------------------------------------------------- */

/* A paragraph's line is kept as it was shaped, outside the table: by itself the same text might
   run the other way. */
struct wrapping {
    struct text_labels *labels;
    enum text_style style;
    const char *text; /* of the line in the making, NULL before the first */
    size_t length;
};

static void end_line(struct wrapping *wrapping)
{
    struct text_labels *labels = wrapping->labels;
    if (wrapping->text)
        *vector_push(&labels->lines, labels->arena) =
            end_label(labels, wrapping->text, wrapping->length);
}

static void begin_line(void *closure, const char *text, size_t length)
{
    struct wrapping *wrapping = closure;
    end_line(wrapping);
    begin_label(wrapping->labels, wrapping->style);
    wrapping->text = text;
    wrapping->length = length;
}

static void take_line_run(void *closure, const PangoAnalysis *analysis,
                          const PangoGlyphString *glyphs, const char *text, int length)
{
    take_run(((struct wrapping *)closure)->labels, analysis, glyphs, text, length);
}

size_t text_labels_wrap(struct text_labels *labels, enum text_style style, const char *text,
                        size_t length, sp width, const label_id **lines)
{
    struct wrapping wrapping = {.labels = labels, .style = style};
    double nominal = width / size_of(labels, style)->sp_per_unit / PANGO_SCALE;
    labels->lines.count = 0;
    text_setter_paragraph(labels->setter, style, text, length, nominal, begin_line, take_line_run,
                          &wrapping);
    end_line(&wrapping);
    *lines = labels->lines.items;
    return labels->lines.count;
}

/* ---- asking ------------------------------------------------------------------------------- */

const struct label_metrics *text_labels_metrics(const struct text_labels *labels, label_id label)
{
    return &labels->labels.items[label].metrics;
}

const char *text_labels_text(const struct text_labels *labels, label_id label)
{
    return labels->labels.items[label].text;
}

struct label_runs text_labels_runs(const struct text_labels *labels, label_id label)
{
    const struct label *found = &labels->labels.items[label];
    return (struct label_runs){found->runs, found->run_count};
}

const struct label_pen *text_labels_pen(const struct text_labels *labels, uint32_t pen)
{
    return &labels->pens.items[pen];
}

size_t text_labels_pen_count(const struct text_labels *labels)
{
    return labels->pens.count;
}
