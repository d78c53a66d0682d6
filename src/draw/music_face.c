#include "draw/music_face.h"

#include "base/arena.h"
#include "base/buffer.h"
#include "base/file.h"
#include "draw/embedded.h"
#include "draw/glyph_outline.h"
#include "draw/music_metadata.h"
#include "draw/music_outline.h"
#include "draw/open_font.h"
#include "draw/text_stretch.h"

#include <assert.h>
#include <cairo-ft.h>
#include <errno.h>
#include <ft2build.h>
#include <hb.h>
#include <math.h>
#include <string.h>
#include FT_FREETYPE_H

enum { FONT_BYTES_MAX = 64 * 1024 * 1024 };

struct music_face {
    struct engraving_defaults defaults;
    struct glyph_metrics glyphs[GLYPH_COUNT];
    const struct extent *extents; /* of their slices: built in, or ... */
    struct extent *own_extents;   /* ... of a font from a file; NULL otherwise */
    size_t extent_count;
    unsigned long indices[GLYPH_COUNT]; /* in the font; 0: the sign is borrowed */
    struct open_font *font;
    cairo_font_face_t *cairo;
    struct music_face *lender; /* our own face, once a sign is missing */
};

/* ---- the font ----------------------------------------------------------------------------- */

static struct music_face *face_new(void)
{
    struct music_face *face = memory_alloc(sizeof *face);
    *face = (struct music_face){.defaults = music_metadata_house, .font = open_font_new()};
    return face;
}

void music_face_free(struct music_face *face)
{
    if (!face)
        return;
    music_face_free(face->lender);
    cairo_font_face_destroy(face->cairo);
    open_font_drop(face->font);
    memory_free(face->own_extents);
    memory_free(face);
}

/* ---- measuring ---------------------------------------------------------------------------- */

static void grow_ink(void *closure, struct outline_piece piece)
{
    text_ink_add(closure, (struct text_ink){fmin(piece.x0, piece.x1), -fmax(piece.y0, piece.y1),
                                            fmax(piece.x0, piece.x1), -fmin(piece.y0, piece.y1)});
}

/* The sign's outline by itself, for what metadata leaves out. An em is four spaces (SMuFL,
   "Glyph metrics and registration"). */
static void measure_outline(hb_font_t *outlines, unsigned long index, struct box *box, sp *advance)
{
    enum { CURVE_PIECES = 24 };
    double scale = 4000.0 / hb_face_get_upem(hb_font_get_face(outlines));
    struct text_ink ink = TEXT_INK_NONE;
    glyph_outline_walk(outlines, index, CURVE_PIECES, grow_ink, &ink);
    *advance = (sp)lround(hb_font_get_glyph_h_advance(outlines, (hb_codepoint_t)index) * scale);
    *box = (struct box){0, 0, -1, -1};
    if (ink.right >= ink.left)
        *box = (struct box){(sp)lround(ink.left * scale), (sp)lround(ink.top * scale),
                            (sp)lround(ink.right * scale), (sp)lround(ink.bottom * scale)};
}

static void measure_sign(struct music_face *face, hb_font_t *outlines, const json_t *metadata,
                         enum glyph glyph)
{
    struct glyph_metrics *metrics = &face->glyphs[glyph];
    const char *name = glyph_smufl_name(glyph);
    bool boxed = music_metadata_box(metadata, name, &metrics->ink);
    bool advanced = music_metadata_advance(metadata, name, &metrics->advance);
    if (!boxed || !advanced) {
        struct box ink;
        sp advance;
        measure_outline(outlines, face->indices[glyph], &ink, &advance);
        metrics->ink = boxed ? metrics->ink : ink;
        metrics->advance = advanced ? metrics->advance : advance;
    }
    metrics->present = true;
    music_metadata_anchors(metadata, name, metrics);
    face->extent_count += music_outline_slice(outlines, face->indices[glyph], face->extent_count,
                                              face->own_extents + face->extent_count, metrics);
}

static void borrow_sign(struct music_face *face, enum glyph glyph)
{
    if (!face->lender)
        face->lender = music_face_own();
    face->glyphs[glyph] = face->lender->glyphs[glyph];
}

static hb_font_t *outlines_of(const struct buffer *bytes)
{
    hb_blob_t *blob =
        hb_blob_create(bytes->bytes, (unsigned)bytes->length, HB_MEMORY_MODE_READONLY, NULL, NULL);
    hb_face_t *face = hb_face_create(blob, 0);
    hb_font_t *font = hb_font_create(face);
    hb_face_destroy(face);
    hb_blob_destroy(blob);
    return font;
}

static void measure(struct music_face *face, const json_t *metadata)
{
    hb_font_t *outlines = outlines_of(&face->font->bytes);
    music_metadata_defaults(metadata, &face->defaults);
    size_t most = embedded_extent_count + GLYPH_COUNT * OUTLINE_EXTENTS_MAX;
    face->own_extents = memory_alloc(most * sizeof *face->own_extents);
    face->extents = face->own_extents;
    face->extent_count = embedded_extent_count; /* those of borrowed signs */
    memcpy(face->own_extents, embedded_extents, embedded_extent_count * sizeof *embedded_extents);
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++)
        if (face->indices[glyph])
            measure_sign(face, outlines, metadata, glyph);
        else
            borrow_sign(face, glyph);
    hb_font_destroy(outlines);
}

/* ---- opening ------------------------------------------------------------------------------ */

static void find_signs(struct music_face *face)
{
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++)
        face->indices[glyph] = FT_Get_Char_Index(face->font->face, glyph_codepoint(glyph));
}

/* What layout asks of our own face was worked out when the program was built. */
struct music_face *music_face_own(void)
{
    struct music_face *face = face_new();
    FT_Error error = open_font_read(face->font, embedded_face, embedded_face_size);
    assert(!error); /* it is part of the program */
    (void)error;
    face->defaults = embedded_defaults;
    memcpy(face->glyphs, embedded_glyphs, sizeof face->glyphs);
    face->extents = embedded_extents;
    find_signs(face);
    face->cairo = open_font_for_cairo(face->font);
    return face;
}

/* Reads a metadata file. False if it does not exist. If it cannot be used, reports an error and
   sets `*metadata` to NULL. */
static bool read_metadata(const char *path, const char *name, json_t **metadata,
                          struct diags *diags)
{
    json_error_t error;
    *metadata = json_load_file(name, 0, &error);
    if (!*metadata && json_error_code(&error) == json_error_cannot_open_file)
        return false;
    if (!*metadata)
        diag_add(diags, DIAG_BAD_VALUE, (struct place){.file = path},
                 "the metadata '%s' of the music font is not JSON: line %d: %s", name, error.line,
                 error.text);
    return true;
}

bool music_face_metadata_path(const char *font, size_t i, struct buffer *path)
{
    const char *slash = strrchr(font, '/'), *name = slash ? slash + 1 : font;
    const char *dot = strrchr(name, '.');
    size_t folder = (size_t)(name - font), stem = dot ? (size_t)(dot - font) : strlen(font);
    const struct {
        size_t kept;
        const char *ending;
    } paths[] = {{stem, ".json"}, {stem, "_metadata.json"}, {folder, "metadata.json"}};
    if (i == sizeof paths / sizeof *paths)
        return false;
    path->length = 0;
    buffer_add(path, font, paths[i].kept);
    buffer_add_text(path, paths[i].ending);
    return true;
}

/* The metadata beside a font, NULL where there is none. False if it cannot be used. */
static bool metadata_beside(const char *font, json_t **metadata, struct diags *diags)
{
    struct buffer path = {0};
    bool found = false;
    *metadata = NULL;
    for (size_t i = 0; !found && music_face_metadata_path(font, i, &path); i++)
        found = read_metadata(font, buffer_text(&path), metadata, diags);
    buffer_release(&path);
    return *metadata || !found;
}

/* Why the open font cannot be used; NULL if it can. */
static const char *unfit(FT_Face outlines)
{
    if (!FT_IS_SCALABLE(outlines) || outlines->units_per_EM == 0)
        return "has no outlines";
    if (FT_Select_Charmap(outlines, FT_ENCODING_UNICODE) ||
        !FT_Get_Char_Index(outlines, glyph_codepoint(GLYPH_HEAD_BLACK)))
        return "is no SMuFL font: it has no noteheadBlack (U+E0A4)";
    return NULL;
}

static bool open_file(struct music_face *face, const char *path, struct diags *diags)
{
    struct open_font *font = face->font;
    if (!file_read(path, FONT_BYTES_MAX, &font->bytes)) {
        diag_add(diags, DIAG_UNREADABLE, (struct place){.file = path},
                 "cannot read the music font: %s", strerror(errno));
        return false;
    }
    FT_Error error = open_font_read(font, buffer_text(&font->bytes), font->bytes.length);
    const char *why = error ? "is not a font" : unfit(font->face);
    if (!why)
        return true;
    diag_add(diags, DIAG_BAD_VALUE, (struct place){.file = path}, "the music font %s", why);
    diag_expected(diags, "an OpenType or TrueType font made after SMuFL");
    return false;
}

struct music_face *music_face_load(const char *path, struct diags *diags)
{
    struct music_face *face = face_new();
    json_t *metadata;
    if (!open_file(face, path, diags) || !metadata_beside(path, &metadata, diags)) {
        music_face_free(face);
        return NULL;
    }
    find_signs(face);
    measure(face, metadata);
    json_decref(metadata);
    face->cairo = open_font_for_cairo(face->font);
    return face;
}

/* ---- asking ------------------------------------------------------------------------------- */

void music_face_measures(const struct music_face *face, struct metrics *metrics)
{
    metrics->defaults = &face->defaults;
    metrics->glyphs = face->glyphs;
    metrics->extents = face->extents;
}

struct music_sign music_face_sign(const struct music_face *face, enum glyph glyph)
{
    if (!face->indices[glyph] && face->lender)
        face = face->lender;
    return (struct music_sign){face->cairo, face->indices[glyph]};
}
