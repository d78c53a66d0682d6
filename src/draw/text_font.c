#include "draw/text_font.h"

#include "base/arena.h"
#include "base/utf8.h"
#include "base/vector.h"
#include "draw/bare_font.h"
#include "draw/font_pattern.h"
#include "draw/glyph_outline.h"
#include "draw/open_font.h"
#include "draw/text_shapes.h"

#include <assert.h>
#include <cairo-ft.h>
#include <hb-ot.h>
#include <hb.h>
#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

enum { FONTS_MAX = 16 };

struct text_font {
    struct text_family *family;
    bool italic;
    int weight;
    hb_font_t *hb;        /* in units of the font; NULL if none could be opened */
    double em;            /* units in an em */
    hb_codepoint_t space; /* its glyph; 0: none */
    cairo_font_face_t *face;
};

struct text_family {
    struct arena *arena;
    FcConfig *config;              /* held, so that its patterns outlive a reload elsewhere */
    VECTOR(FcPattern *) installed; /* the family's; lent by `config` */
    FcPattern *stand_in;           /* used where none is installed, else NULL */
    struct text_font fonts[FONTS_MAX];
    size_t font_count;
    hb_buffer_t *buffer;
    VECTOR(struct text_glyph) glyphs; /* of the text set last; on the heap */
    struct text_shapes *shapes;       /* by font */
};

/* ---- the family --------------------------------------------------------------------------- */

/* True if one of the font's names is the family's, alone or followed by a weight. */
static bool of_family(const FcPattern *font)
{
    FcChar8 *name;
    for (int i = 0; FcPatternGetString(font, FC_FAMILY, i, &name) == FcResultMatch; i++)
        if (strncmp((const char *)name, TEXT_FAMILY, sizeof TEXT_FAMILY - 1) == 0)
            return true;
    return false;
}

/* A font with axes is not used by itself: its instances are in the list too, with plain numbers. A
   condensed font is not used either, as it has fewer weights. */
static bool usable(const FcPattern *font)
{
    FcBool variable = FcFalse;
    int weight;
    FcPatternGetBool(font, FC_VARIABLE, 0, &variable);
    return !variable && pattern_number(font, FC_WIDTH, FC_WIDTH_NORMAL) > FC_WIDTH_CONDENSED &&
           FcPatternGetInteger(font, FC_WEIGHT, 0, &weight) == FcResultMatch;
}

/* Goes through the list, as matching would cost far more on machines with thousands of fonts. */
static void find_fonts(struct text_family *family)
{
    FcFontSet *set = FcConfigGetFonts(family->config, FcSetSystem);
    for (int i = 0; set && i < set->nfont; i++) {
        FcPattern *font = set->fonts[i];
        if (!of_family(font) || !usable(font))
            continue;
        *vector_push(&family->installed, family->arena) = font;
    }
}

static FcPattern *match_family(FcConfig *config)
{
    FcResult result;
    FcPattern *wanted = FcNameParse((const FcChar8 *)TEXT_FAMILY);
    FcConfigSubstitute(config, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcPattern *found = FcFontMatch(config, wanted, &result);
    FcPatternDestroy(wanted);
    return found;
}

static void report_missing(struct diags *diags, const FcPattern *used)
{
    diag_add(diags, DIAG_TEXT_FONT, (struct place){0},
             "the text family '%s' is not installed; '%s' is used instead", TEXT_FAMILY,
             used ? pattern_text(used, FC_FAMILY) : "no font");
}

static void read_configuration(void)
{
    FcInit();
}

bool text_family_possible(struct diags *diags)
{
    /* the first thread reads it while the others wait */
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    pthread_once(&once, read_configuration);
    const FcFontSet *set = FcConfigGetFonts(NULL, FcSetSystem);
    if (set && set->nfont > 0)
        return true;
    diag_add(diags, DIAG_UNREADABLE, (struct place){0}, "no font for text is installed");
    diag_expected(diags, "the family '%s', or any other", TEXT_FAMILY);
    return false;
}

struct text_family *text_family_open(struct diags *diags)
{
    struct text_family *family = memory_alloc(sizeof *family);
    *family = (struct text_family){.arena = arena_new(),
                                   .config = FcConfigReference(NULL),
                                   .buffer = hb_buffer_create(),
                                   .shapes = text_shapes_new()};
    find_fonts(family);
    if (family->installed.count == 0) {
        family->stand_in = match_family(family->config);
        report_missing(diags, family->stand_in);
    }
    return family;
}

void text_family_close(struct text_family *family)
{
    if (!family)
        return;
    for (size_t i = 0; i < family->font_count; i++) {
        hb_font_destroy(family->fonts[i].hb);
        cairo_font_face_destroy(family->fonts[i].face);
    }
    if (family->stand_in)
        FcPatternDestroy(family->stand_in);
    FcConfigDestroy(family->config);
    hb_buffer_destroy(family->buffer);
    text_shapes_free(family->shapes);
    vector_release(&family->glyphs);
    arena_free(family->arena);
    memory_free(family);
}

/* ---- fonts -------------------------------------------------------------------------------- */

/* How far an installed font is from the one wanted: slant outranks weight. */
static int distance(const FcPattern *pattern, const struct text_font *wanted)
{
    int slant = pattern_number(pattern, FC_SLANT, FC_SLANT_ROMAN);
    int weight = pattern_number(pattern, FC_WEIGHT, FC_WEIGHT_REGULAR);
    int slant_off = (slant != FC_SLANT_ROMAN) != wanted->italic;
    int weight_off = abs(weight - FcWeightFromOpenType(wanted->weight));
    return slant_off * 1000 + weight_off;
}

/* The nearest installed font. Ties go to the first file name, so that the order in which
   fontconfig lists fonts does not matter. */
static FcPattern *nearest(const struct text_family *family, const struct text_font *wanted)
{
    FcPattern *best = family->stand_in;
    for (size_t i = 0; i < family->installed.count; i++) {
        FcPattern *pattern = family->installed.items[i];
        int nearer = best ? distance(pattern, wanted) - distance(best, wanted) : -1;
        if (nearer < 0 || (nearer == 0 &&
                           strcmp(pattern_text(pattern, FC_FILE), pattern_text(best, FC_FILE)) < 0))
            best = pattern;
    }
    return best;
}

/* Without hints where that is possible: see bare_font.h. */
static cairo_font_face_t *face_of(const struct text_family *family, FcPattern *pattern,
                                  hb_blob_t *blob)
{
    unsigned length;
    const char *bytes = hb_blob_get_data(blob, &length);
    struct open_font *bare = open_font_new();
    cairo_font_face_t *face = NULL;
    /* a stand-in may have to be slanted or made bold */
    if (pattern != family->stand_in && bare_font_write(bytes, length, &bare->bytes) &&
        open_font_read(bare, bare->bytes.bytes, bare->bytes.length) == 0)
        face = open_font_for_cairo(bare);
    open_font_drop(bare);
    return face ? face : cairo_ft_font_face_create_for_pattern(pattern);
}

static void open_text_font(struct text_font *font)
{
    FcPattern *pattern = nearest(font->family, font);
    if (!pattern)
        return;
    /* Fontconfig keeps the number of a variable font's instance, from 1, in the upper half of the
       index. */
    unsigned index = (unsigned)pattern_number(pattern, FC_INDEX, 0), instance = index >> 16;
    hb_blob_t *blob = hb_blob_create_from_file(pattern_text(pattern, FC_FILE));
    hb_face_t *face = hb_face_create(blob, index & 0xFFFF);
    font->hb = hb_font_create(face);
    font->em = hb_face_get_upem(face);
    if (instance)
        hb_font_set_var_named_instance(font->hb, instance - 1);
    hb_font_get_nominal_glyph(font->hb, ' ', &font->space);
    font->face = face_of(font->family, pattern, blob);
    hb_face_destroy(face);
    hb_blob_destroy(blob);
}

struct text_font *text_family_font(struct text_family *family, const struct text_style_row *row)
{
    struct text_font *font = family->fonts, *end = family->fonts + family->font_count;
    while (font < end && (font->italic != row->italic || font->weight != row->weight))
        font++;
    if (font < end)
        return font;
    assert(family->font_count < FONTS_MAX);
    family->font_count++;
    *font = (struct text_font){.family = family, .italic = row->italic, .weight = row->weight};
    open_text_font(font);
    return font;
}

void text_font_extents(const struct text_font *font, double *ascent, double *descent)
{
    hb_font_extents_t extents = {0};
    if (font->hb)
        hb_font_get_h_extents(font->hb, &extents);
    *ascent = font->hb ? extents.ascender / font->em : 0;
    *descent = font->hb ? -extents.descender / font->em : 0;
}

/* ---- plain text --------------------------------------------------------------------------- */

/* Plain: ASCII, Latin-1 and Latin Extended-A, dashes and quotes. Combining marks and marks of
   direction are not. */
bool text_is_plain(const char *text, size_t length)
{
    for (size_t i = 0; i < length;) {
        uint32_t code = (unsigned char)text[i];
        size_t size = code < 0x80 ? 1 : utf8_decode(text + i, length - i, &code);
        bool plain = (code >= 0x20 && code < 0x7F) ||
                     (code >= 0xA0 && code < 0x180 && code != 0xAD) ||
                     (code >= 0x2010 && code <= 0x2026);
        if (size == 0 || !plain)
            return false;
        i += size;
    }
    return true;
}

/* Without ligatures: they can hardly be seen at these sizes, and in a PDF each would need a second
   font and an ActualText of its own. */
static void shape(hb_buffer_t *buffer, hb_font_t *font, const char *text, size_t length)
{
    static const hb_feature_t no_ligatures = {HB_TAG('l', 'i', 'g', 'a'), 0,
                                              HB_FEATURE_GLOBAL_START, HB_FEATURE_GLOBAL_END};
    hb_buffer_clear_contents(buffer);
    hb_buffer_add_utf8(buffer, text, (int)length, 0, (int)length);
    hb_buffer_set_direction(buffer, HB_DIRECTION_LTR);
    hb_buffer_set_script(buffer, HB_SCRIPT_LATIN);
    hb_buffer_set_language(buffer, hb_language_from_string("en", 2));
    hb_shape(font, buffer, &no_ligatures, 1);
}

static struct text_ink ink_of(const struct text_font *font, hb_codepoint_t index, double x,
                              double y)
{
    hb_glyph_extents_t extents;
    if (!hb_font_get_glyph_extents(font->hb, index, &extents) || extents.width == 0)
        return TEXT_INK_NONE;
    double left = x + extents.x_bearing / font->em, top = y - extents.y_bearing / font->em;
    return (struct text_ink){left, top, left + extents.width / font->em,
                             top - extents.height / font->em};
}

/* Takes over what was shaped. False if a character has no glyph. */
static bool take_glyphs(struct text_font *font, struct text_stretch *stretch)
{
    unsigned count;
    struct text_family *family = font->family;
    const hb_glyph_info_t *infos = hb_buffer_get_glyph_infos(family->buffer, &count);
    const hb_glyph_position_t *positions = hb_buffer_get_glyph_positions(family->buffer, &count);
    family->glyphs.count = 0;
    for (unsigned i = 0; i < count; i++) {
        if (infos[i].codepoint == 0)
            return false;
        double x = stretch->advance + positions[i].x_offset / font->em;
        double y = -positions[i].y_offset / font->em;
        *vector_push(&family->glyphs, NULL) =
            (struct text_glyph){infos[i].codepoint, infos[i].cluster, true, x, y};
        text_ink_add(&stretch->ink, ink_of(font, infos[i].codepoint, x, y));
        stretch->advance += positions[i].x_advance / font->em;
    }
    stretch->glyphs = family->glyphs.items;
    stretch->count = count;
    return true;
}

bool text_font_set(struct text_font *font, const char *text, size_t length,
                   struct text_stretch *stretch)
{
    const struct text_shape *known = text_shapes_find(font->family->shapes, font, text, length);
    if (known) {
        *stretch = known->stretch;
        stretch->text = text;
        return true;
    }
    if (!font->hb || !text_is_plain(text, length))
        return false;
    *stretch = (struct text_stretch){.face = font->face,
                                     .space = font->space,
                                     .text = text,
                                     .length = length,
                                     .ink = TEXT_INK_NONE};
    cairo_matrix_init_identity(&stretch->em);
    shape(font->family->buffer, font->hb, text, length);
    bool taken = take_glyphs(font, stretch);
    if (taken)
        text_shapes_keep(font->family->shapes, font, stretch);
    return taken;
}

/* ---- balance ------------------------------------------------------------------------------ */

enum { CHORDS = 8 }; /* of a curve */

/* Area and its moment, by the integral around the outline (Green's theorem): nothing is filled. */
struct mass {
    double area, moment;
    double origin; /* of the glyph, in font units */
};

static void add_mass(void *closure, struct outline_piece piece)
{
    struct mass *mass = closure;
    double x0 = piece.x0 + mass->origin, x1 = piece.x1 + mass->origin, rise = piece.y1 - piece.y0;
    mass->area += (x0 + x1) / 2 * rise;
    mass->moment += (x0 * x0 + x0 * x1 + x1 * x1) / 6 * rise;
}

/* INFINITY where there is no ink. */
static double find_balance(struct text_font *font, const struct text_stretch *stretch)
{
    struct mass mass = {.area = 0};
    for (size_t i = 0; i < stretch->count; i++) {
        mass.origin = stretch->glyphs[i].x * font->em;
        glyph_outline_walk(font->hb, stretch->glyphs[i].index, CHORDS, add_mass, &mass);
    }
    return mass.area == 0 ? INFINITY : mass.moment / mass.area / font->em;
}

double text_font_balance(struct text_font *font, const struct text_stretch *stretch)
{
    struct text_shape *kept =
        text_shapes_find(font->family->shapes, font, stretch->text, stretch->length);
    if (!kept)
        return find_balance(font, stretch);
    if (isnan(kept->balance))
        kept->balance = find_balance(font, stretch);
    return kept->balance;
}
