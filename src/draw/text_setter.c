#include "draw/text_setter.h"

#include "base/vector.h"

#include <hb.h>
#include <math.h>
#include <pango/pangocairo.h>

/* The size at which Pango sets text, in points, and its units in an em. */
enum { NOMINAL = 100, UNITS = NOMINAL * PANGO_SCALE };

/* A place where a line may end. */
struct chance {
    size_t byte;
    double from, to; /* where the next line would begin; where the ink of this one would end */
};

typedef VECTOR(struct chance) chance_list;

/* A plain paragraph, ready to be broken at any width. */
struct paragraph {
    struct arena *arena;    /* all that it points to */
    struct text_font *font; /* lent; NULL: no paragraph yet */
    struct text_stretch stretch;
    chance_list chances;
};

enum { PARAGRAPHS = 4 };

struct text_setter {
    struct text_family *family;     /* lent */
    missing_characters *missing;    /* lent, too */
    VECTOR(struct text_line) lines; /* of the last paragraph; on the heap */
    struct arena *scratch;          /* for one call */
    /* The last ones, which are often asked for again: at other widths, and beside each other. */
    struct paragraph paragraphs[PARAGRAPHS];
    size_t oldest;
    /* NULL until a text needs them. */
    PangoFontMap *map;
    PangoContext *context;
    PangoLayout *layout;
};

struct text_setter *text_setter_open(struct text_family *family, missing_characters *missing)
{
    struct text_setter *setter = memory_alloc(sizeof *setter);
    *setter = (struct text_setter){.family = family, .missing = missing, .scratch = arena_new()};
    for (size_t i = 0; i < PARAGRAPHS; i++)
        setter->paragraphs[i].arena = arena_new();
    return setter;
}

void text_setter_close(struct text_setter *setter)
{
    g_clear_object(&setter->layout);
    g_clear_object(&setter->context);
    g_clear_object(&setter->map);
    vector_release(&setter->lines);
    arena_free(setter->scratch);
    for (size_t i = 0; i < PARAGRAPHS; i++)
        arena_free(setter->paragraphs[i].arena);
    memory_free(setter);
}

static struct text_font *font_of(struct text_setter *setter, enum text_style style)
{
    return text_family_font(setter->family, text_style(style));
}

/* ---- Pango -------------------------------------------------------------------------------- */

cairo_font_options_t *text_setter_options(void)
{
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    return options;
}

static void open_pango(struct text_setter *setter)
{
    if (setter->layout)
        return;
    setter->map = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    setter->context = pango_font_map_create_context(setter->map);
    cairo_font_options_t *options = text_setter_options();
    pango_cairo_context_set_font_options(setter->context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(setter->context, FALSE);
    /* not that of the locale, so that a lesson gives the same page everywhere */
    pango_context_set_language(setter->context, pango_language_from_string("en"));
    setter->layout = pango_layout_new(setter->context);
    pango_layout_set_wrap(setter->layout, PANGO_WRAP_WORD_CHAR);
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
    pango_layout_set_attributes(setter->layout, attributes);
    pango_attr_list_unref(attributes);
}

static PangoFontDescription *describe(const struct text_style_row *row)
{
    PangoFontDescription *description = pango_font_description_new();
    pango_font_description_set_family_static(description, TEXT_FAMILY);
    pango_font_description_set_weight(description, (PangoWeight)row->weight);
    if (row->italic)
        pango_font_description_set_style(description, PANGO_STYLE_ITALIC);
    pango_font_description_set_absolute_size(description, UNITS);
    return description;
}

/* `width` in Pango's units; negative: no limit. */
static PangoLayout *layout_of(struct text_setter *setter, enum text_style style, const char *text,
                              size_t length, int width)
{
    open_pango(setter);
    PangoFontDescription *description = describe(text_style(style));
    pango_layout_set_font_description(setter->layout, description);
    pango_font_description_free(description);
    pango_layout_set_width(setter->layout, width);
    pango_layout_set_text(setter->layout, text, (int)length);
    return setter->layout;
}

static void keep_unknown(struct text_setter *setter, PangoGlyph glyph)
{
    uint32_t character = glyph & ~PANGO_GLYPH_UNKNOWN_FLAG;
    for (size_t i = 0; i < setter->missing->count; i++)
        if (setter->missing->items[i] == character)
            return;
    *vector_push(setter->missing, NULL) = character;
}

/* A character that no font has is shown as the font's box. */
static void convert_glyphs(struct text_setter *setter, const PangoGlyphString *from,
                           struct text_stretch *to)
{
    struct text_glyph *glyphs =
        arena_array(setter->scratch, (size_t)from->num_glyphs, sizeof *glyphs);
    double pen = 0;
    for (int i = 0; i < from->num_glyphs; i++) {
        const PangoGlyphInfo *info = &from->glyphs[i];
        bool unknown = info->glyph & PANGO_GLYPH_UNKNOWN_FLAG;
        if (unknown)
            keep_unknown(setter, info->glyph);
        glyphs[i] = (struct text_glyph){.index = unknown ? 0 : info->glyph,
                                        .cluster = (uint32_t)from->log_clusters[i],
                                        .shown = info->glyph != PANGO_GLYPH_EMPTY,
                                        .x = (pen + info->geometry.x_offset) / UNITS,
                                        .y = (double)info->geometry.y_offset / UNITS};
        pen += info->geometry.width;
    }
    to->glyphs = glyphs;
    to->count = (size_t)from->num_glyphs;
    to->advance = pen / UNITS;
}

static void hand_over(struct text_setter *setter, PangoGlyphItem *run, const char *text,
                      text_take *take, void *closure)
{
    PangoRectangle ink;
    PangoFont *font = run->item->analysis.font;
    cairo_scaled_font_t *scaled = pango_cairo_font_get_scaled_font(PANGO_CAIRO_FONT(font));
    struct text_stretch stretch = {.face = cairo_scaled_font_get_font_face(scaled),
                                   .text = text + run->item->offset,
                                   .length = (size_t)run->item->length,
                                   .backward = run->item->analysis.level % 2 != 0,
                                   .ink = TEXT_INK_NONE};
    hb_codepoint_t space = 0;
    if (hb_font_get_nominal_glyph(pango_font_get_hb_font(font), ' ', &space))
        stretch.space = space;
    cairo_scaled_font_get_font_matrix(scaled, &stretch.em);
    cairo_matrix_scale(&stretch.em, 1.0 / NOMINAL, 1.0 / NOMINAL);
    convert_glyphs(setter, run->glyphs, &stretch);
    pango_glyph_string_extents(run->glyphs, font, &ink, NULL);
    if (ink.width > 0)
        stretch.ink = (struct text_ink){(double)ink.x / UNITS, (double)ink.y / UNITS,
                                        (double)(ink.x + ink.width) / UNITS,
                                        (double)(ink.y + ink.height) / UNITS};
    take(closure, &stretch);
}

static void take_line(struct text_setter *setter, const PangoLayoutLine *line, const char *text,
                      text_take *take, void *closure)
{
    for (const GSList *at = line->runs; at; at = at->next)
        hand_over(setter, at->data, text, take, closure);
    arena_reset(setter->scratch);
}

/* ---- lines -------------------------------------------------------------------------------- */

void text_setter_line(struct text_setter *setter, enum text_style style, const char *text,
                      size_t length, text_take *take, void *closure)
{
    struct text_stretch stretch;
    if (length == 0)
        return;
    if (text_font_set(font_of(setter, style), text, length, &stretch)) {
        take(closure, &stretch);
        return;
    }
    PangoLayout *layout = layout_of(setter, style, text, length, -1);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    take_line(setter, pango_layout_get_line_readonly(layout, 0), text, take, closure);
}

/* ---- paragraphs --------------------------------------------------------------------------- */

/* The line between two bytes of a text of `length` bytes. */
static struct text_line line_between(const char *text, size_t length, size_t from, size_t to)
{
    struct text_line line = {.text = text + from, .joined = to < length && text[to - 1] != ' '};
    while (to > from && text[to - 1] == ' ')
        to--;
    line.length = to - from;
    return line;
}

/* Pango gives one attribute for each character; a break is allowed before it. Plain text has one
   glyph or more for each cluster, from left to right. */
static void find_chances(struct text_setter *setter, struct paragraph *paragraph)
{
    const struct text_stretch *stretch = &paragraph->stretch;
    const char *text = stretch->text;
    int characters = (int)g_utf8_strlen(text, (gssize)stretch->length);
    PangoLogAttr *attributes =
        arena_array(setter->scratch, (size_t)characters + 1, sizeof *attributes);
    pango_get_log_attrs(text, (int)stretch->length, -1, pango_language_from_string("en"),
                        attributes, characters + 1);
    size_t byte = 0, glyph = 0;
    double ink_end = 0;
    for (int i = 1; i <= characters; i++) {
        bool space = text[byte] == ' ';
        byte = (size_t)(g_utf8_next_char(text + byte) - text);
        while (glyph < stretch->count && stretch->glyphs[glyph].cluster < byte)
            glyph++;
        double x = glyph < stretch->count ? stretch->glyphs[glyph].x : stretch->advance;
        ink_end = space ? ink_end : x;
        if (attributes[i].is_line_break || i == characters)
            *vector_push(&paragraph->chances, paragraph->arena) = (struct chance){byte, x, ink_end};
    }
    arena_reset(setter->scratch);
}

static const struct paragraph *find_kept(const struct text_setter *setter,
                                         const struct text_font *font, const char *text,
                                         size_t length)
{
    for (const struct paragraph *kept = setter->paragraphs; kept < setter->paragraphs + PARAGRAPHS;
         kept++)
        if (kept->font == font && kept->stretch.length == length &&
            memcmp(kept->stretch.text, text, length) == 0)
            return kept;
    return NULL;
}

/* To shape a text and to find its chances takes far longer than to break it. NULL if the text is
   not plain. */
static const struct paragraph *prepare(struct text_setter *setter, struct text_font *font,
                                       const char *text, size_t length)
{
    struct text_stretch stretch;
    const struct paragraph *kept = find_kept(setter, font, text, length);
    if (kept || !text_font_set(font, text, length, &stretch))
        return kept;
    struct paragraph *made = &setter->paragraphs[setter->oldest];
    setter->oldest = (setter->oldest + 1) % PARAGRAPHS;
    arena_reset(made->arena);
    stretch.text = arena_copy_text(made->arena, text, length);
    stretch.glyphs = arena_copy(made->arena, stretch.glyphs, stretch.count, sizeof *stretch.glyphs);
    *made = (struct paragraph){.arena = made->arena, .font = font, .stretch = stretch};
    find_chances(setter, made);
    return made;
}

static void add_line(struct text_setter *setter, const struct text_stretch *stretch, size_t from,
                     size_t to)
{
    *vector_push(&setter->lines, NULL) = line_between(stretch->text, stretch->length, from, to);
}

/* Breaks a word that is wider than a line wherever the line is full. Returns the byte at which the
   rest of it begins, `*left` from the start of the text. */
static size_t part_word(struct text_setter *setter, const struct text_stretch *stretch,
                        size_t start, size_t end, double width, double *left)
{
    for (size_t i = 0; i < stretch->count && stretch->glyphs[i].cluster < end; i++) {
        size_t byte = stretch->glyphs[i].cluster;
        double next = i + 1 < stretch->count ? stretch->glyphs[i + 1].x : stretch->advance;
        if (byte <= start || next - *left <= width)
            continue;
        add_line(setter, stretch, start, byte);
        start = byte;
        *left = stretch->glyphs[i].x;
    }
    return start;
}

/* Puts on each line all that fits. */
static void break_at_chances(struct text_setter *setter, const struct paragraph *paragraph,
                             double width)
{
    const struct text_stretch *stretch = &paragraph->stretch;
    const chance_list *chances = &paragraph->chances;
    size_t start = 0;
    double left = 0;
    for (size_t i = 0; i < chances->count; i++) {
        const struct chance *chance = &chances->items[i];
        bool last = i + 1 == chances->count;
        if (chance->to - left > width)
            start = part_word(setter, stretch, start, chance->byte, width, &left);
        if (!last && chance[1].to - left <= width)
            continue;
        add_line(setter, stretch, start, chance->byte);
        start = chance->byte;
        left = chance->from;
    }
}

bool text_setter_break(struct text_setter *setter, enum text_style style, const char *text,
                       size_t length, double width, const struct text_line **lines, size_t *count)
{
    const struct paragraph *paragraph = prepare(setter, font_of(setter, style), text, length);
    if (!paragraph)
        return false;
    setter->lines.count = 0;
    break_at_chances(setter, paragraph, width);
    *count = setter->lines.count;
    *lines = setter->lines.items;
    return true;
}

void text_setter_paragraph(struct text_setter *setter, enum text_style style, const char *text,
                           size_t length, double width, text_take *take, text_end_line *end,
                           void *closure)
{
    int units = (int)(fmax(0, fmin(width, 10000)) * UNITS);
    PangoLayout *layout = layout_of(setter, style, text, length, units);
    pango_layout_set_single_paragraph_mode(layout, FALSE);
    for (const GSList *at = pango_layout_get_lines_readonly(layout); at; at = at->next) {
        const PangoLayoutLine *line = at->data;
        size_t start = (size_t)line->start_index;
        struct text_line words = line_between(text, length, start, start + (size_t)line->length);
        words.backward = line->resolved_dir == PANGO_DIRECTION_RTL;
        take_line(setter, line, text, take, closure);
        end(closure, words);
    }
}
