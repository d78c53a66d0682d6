#include "draw/text_setter.h"

#include "base/arena.h"

#include <assert.h>
#include <fontconfig/fontconfig.h>
#include <math.h>
#include <pango/pangofc-font.h>
#include <string.h>

#define FAMILY "Open Sans"

enum { CUTS_MAX = 16 };

/* A cut of the family: what styles of several sizes share. */
struct cut {
    bool condensed, italic;
    int weight;
    PangoFontDescription *description;
    PangoItem *latin; /* how its Latin text is shaped; NULL until asked */
};

struct text_setter {
    PangoFontMap *map;
    PangoContext *context;
    PangoLayout *layout; /* NULL until a text needs it */
    PangoGlyphString *glyphs;
    struct cut cuts[CUTS_MAX];
    size_t cut_count;
    struct cut *of_style[TEXT_STYLE_COUNT];
    struct diags *diags;
    bool told_of_character;
};

/* ---- is the family there? ----------------------------------------------------------------- */

/* True when the name is the family's, or the family's with a cut named after it. */
static bool of_family(const FcPattern *font)
{
    FcChar8 *name;
    for (int i = 0; FcPatternGetString(font, FC_FAMILY, i, &name) == FcResultMatch; i++)
        if (strncmp((const char *)name, FAMILY, sizeof FAMILY - 1) == 0)
            return true;
    return false;
}

/* Looks the family and its condensed cut up among the installed fonts: a walk over the list, as
   matching would cost far more on machines with thousands of them. */
static void look_up_family(bool *upright, bool *condensed)
{
    FcFontSet *set = FcConfigGetFonts(NULL, FcSetSystem);
    for (int i = 0; set && i < set->nfont; i++) {
        int width = FC_WIDTH_NORMAL;
        if (!of_family(set->fonts[i]))
            continue;
        FcPatternGetInteger(set->fonts[i], FC_WIDTH, 0, &width);
        if (width <= FC_WIDTH_CONDENSED)
            *condensed = true;
        else
            *upright = true;
    }
}

static void check_family(struct text_setter *setter)
{
    bool upright = false, condensed = false;
    look_up_family(&upright, &condensed);
    if (upright && condensed)
        return;
    FcPattern *wanted = FcNameParse((const FcChar8 *)FAMILY);
    FcConfigSubstitute(NULL, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcResult result;
    FcPattern *used = FcFontMatch(NULL, wanted, &result);
    FcChar8 *name = NULL;
    if (used)
        FcPatternGetString(used, FC_FAMILY, 0, &name);
    diag_add(setter->diags, DIAG_TEXT_FONT, (struct place){0},
             "the text family '%s' is not installed; '%s' is used instead",
             upright ? FAMILY " Condensed" : FAMILY, name ? (const char *)name : "no font");
    if (used)
        FcPatternDestroy(used);
    FcPatternDestroy(wanted);
}

/* ---- opening and closing ------------------------------------------------------------------ */

bool text_setter_possible(struct diags *diags)
{
    const FcFontSet *set = FcConfigGetFonts(NULL, FcSetSystem);
    if (set && set->nfont > 0)
        return true;
    diag_add(diags, DIAG_UNREADABLE, (struct place){0}, "no font for text is installed");
    diag_expected(diags, "the family '%s', or any other", FAMILY);
    return false;
}

static PangoContext *context_new(PangoFontMap *map)
{
    PangoContext *context = pango_font_map_create_context(map);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);
    /* Not the locale's: the same lesson gives the same page everywhere. */
    pango_context_set_language(context, pango_language_from_string("en"));
    return context;
}

struct text_setter *text_setter_open(struct diags *diags)
{
    struct text_setter *setter = memory_alloc(sizeof *setter);
    *setter = (struct text_setter){.diags = diags};
    /* Before Pango, which would do it in a thread while the family is looked up here: each would
       read the whole configuration. */
    FcInit();
    setter->map = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    setter->context = context_new(setter->map);
    setter->glyphs = pango_glyph_string_new();
    check_family(setter);
    return setter;
}

void text_setter_close(struct text_setter *setter)
{
    if (!setter)
        return;
    for (size_t i = 0; i < setter->cut_count; i++) {
        if (setter->cuts[i].latin)
            pango_item_free(setter->cuts[i].latin);
        pango_font_description_free(setter->cuts[i].description);
    }
    g_clear_object(&setter->layout);
    pango_glyph_string_free(setter->glyphs);
    g_object_unref(setter->context);
    g_object_unref(setter->map);
    memory_free(setter);
}

/* ---- cuts --------------------------------------------------------------------------------- */

/* Distributions package the condensed cut as families of its own ("... Condensed" the bold, "...
   Condensed Light" the light) or as a width of the one family: the list and the stretch find it
   both ways. */
static PangoFontDescription *describe(const struct text_style_row *row)
{
    PangoFontDescription *description = pango_font_description_new();
    const char *families = FAMILY;
    if (row->condensed)
        families =
            row->weight < 500 ? FAMILY " Condensed Light," FAMILY : FAMILY " Condensed," FAMILY;
    pango_font_description_set_family_static(description, families);
    pango_font_description_set_weight(description, (PangoWeight)row->weight);
    if (row->condensed)
        pango_font_description_set_stretch(description, PANGO_STRETCH_CONDENSED);
    if (row->italic)
        pango_font_description_set_style(description, PANGO_STYLE_ITALIC);
    pango_font_description_set_absolute_size(description, TEXT_NOMINAL * PANGO_SCALE);
    return description;
}

static struct cut *cut_of(struct text_setter *setter, enum text_style style)
{
    if (setter->of_style[style])
        return setter->of_style[style];
    const struct text_style_row *row = text_style(style);
    struct cut *cut = setter->cuts;
    struct cut *end = setter->cuts + setter->cut_count;
    while (cut < end && (cut->condensed != row->condensed || cut->italic != row->italic ||
                         cut->weight != row->weight))
        cut++;
    if (cut == end) {
        assert(setter->cut_count < CUTS_MAX);
        setter->cut_count++;
        *cut = (struct cut){row->condensed, row->italic, row->weight, describe(row), NULL};
    }
    return setter->of_style[style] = cut;
}

/* How the cut shapes Latin text: found out once. Letters, digits and signs of ASCII all go with the
   Latin script, so that their labels need no analysis of their own. */
static const PangoAnalysis *latin_analysis(struct text_setter *setter, struct cut *cut)
{
    if (!cut->latin) {
        PangoAttrList *attributes = pango_attr_list_new();
        pango_attr_list_insert(attributes, pango_attr_font_desc_new(cut->description));
        GList *items = pango_itemize(setter->context, "a", 0, 1, attributes, NULL);
        cut->latin = items->data;
        g_list_free(items);
        pango_attr_list_unref(attributes);
    }
    return &cut->latin->analysis;
}

void text_setter_extents(struct text_setter *setter, enum text_style style, double *ascent,
                         double *descent)
{
    const PangoAnalysis *analysis = latin_analysis(setter, cut_of(setter, style));
    cairo_font_extents_t extents;
    cairo_scaled_font_extents(pango_cairo_font_get_scaled_font(PANGO_CAIRO_FONT(analysis->font)),
                              &extents);
    *ascent = extents.ascent;
    *descent = extents.descent;
}

/* ---- setting ------------------------------------------------------------------------------ */

static bool printable_ascii(const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (text[i] < ' ' || text[i] > '~')
            return false;
    return true;
}

/* Shapes ASCII with the cut's own font. False where that font lacks a character. */
static bool shape_latin(struct text_setter *setter, struct cut *cut, const char *text,
                        size_t length)
{
    pango_shape_full(text, (int)length, NULL, 0, latin_analysis(setter, cut), setter->glyphs);
    for (int i = 0; i < setter->glyphs->num_glyphs; i++)
        if (setter->glyphs->glyphs[i].glyph & PANGO_GLYPH_UNKNOWN_FLAG)
            return false;
    return true;
}

static PangoLayout *layout_of(struct text_setter *setter, const struct cut *cut, const char *text,
                              size_t length, int width)
{
    if (!setter->layout)
        setter->layout = pango_layout_new(setter->context);
    pango_layout_set_font_description(setter->layout, cut->description);
    pango_layout_set_width(setter->layout, width);
    pango_layout_set_text(setter->layout, text, (int)length);
    return setter->layout;
}

static void report_unknown(struct text_setter *setter, const PangoGlyphString *glyphs)
{
    for (int i = 0; i < glyphs->num_glyphs && !setter->told_of_character; i++) {
        PangoGlyph glyph = glyphs->glyphs[i].glyph;
        if (!(glyph & PANGO_GLYPH_UNKNOWN_FLAG))
            continue;
        setter->told_of_character = true;
        diag_add(setter->diags, DIAG_TEXT_FONT, (struct place){0},
                 "no installed font has the character U+%04X: it is printed as a box",
                 glyph & ~PANGO_GLYPH_UNKNOWN_FLAG);
    }
}

static void take_line(struct text_setter *setter, const PangoLayoutLine *line, const char *text,
                      text_take *take, void *closure)
{
    for (const GSList *at = line->runs; at; at = at->next) {
        const PangoGlyphItem *run = at->data;
        report_unknown(setter, run->glyphs);
        take(closure, &run->item->analysis, run->glyphs, text + run->item->offset,
             run->item->length);
    }
}

void text_setter_line(struct text_setter *setter, enum text_style style, const char *text,
                      size_t length, text_take *take, void *closure)
{
    struct cut *cut = cut_of(setter, style);
    if (length == 0)
        return;
    if (printable_ascii(text, length) && shape_latin(setter, cut, text, length)) {
        take(closure, &cut->latin->analysis, setter->glyphs, text, (int)length);
        return;
    }
    PangoLayout *layout = layout_of(setter, cut, text, length, -1);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    take_line(setter, pango_layout_get_line_readonly(layout, 0), text, take, closure);
}

void text_setter_paragraph(struct text_setter *setter, enum text_style style, const char *text,
                           size_t length, double width, text_begin *begin, text_take *take,
                           void *closure)
{
    /* Pango counts in whole units and takes a negative width for endless. */
    int units = width < 1 ? PANGO_SCALE : (int)(fmin(width, 1e6) * PANGO_SCALE);
    PangoLayout *layout = layout_of(setter, cut_of(setter, style), text, length, units);
    pango_layout_set_single_paragraph_mode(layout, FALSE);
    for (const GSList *at = pango_layout_get_lines_readonly(layout); at; at = at->next) {
        const PangoLayoutLine *line = at->data;
        begin(closure, text + line->start_index, (size_t)line->length);
        take_line(setter, line, text, take, closure);
    }
}
