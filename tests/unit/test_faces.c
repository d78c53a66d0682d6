/* Faces: the sizes that layout gets for signs and text agree with the fonts themselves. */
#include "base/arena.h"
#include "base/buffer.h"
#include "base/file.h"
#include "draw/draw.h"
#include "draw/faces.h"
#include "suite.h"

#include <check.h>
#include <fontconfig/fontconfig.h>
#include <ft2build.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include FT_FREETYPE_H
#include FT_BBOX_H

#define OWN_FONT "fonts/Ratamark.otf"
#define SPACE_MM 1.75

static struct arena *arena;
static struct diags *diags;
static struct faces *faces;
static struct metrics metrics;
static char folder[64];

static void open_faces(const char *music_font)
{
    faces =
        faces_open(&(struct faces_options){.music_font = music_font, .space_mm = SPACE_MM}, diags);
    if (faces)
        metrics = faces_metrics(faces);
}

static void begin(void)
{
    arena = arena_new();
    diags = diags_new(arena);
    snprintf(folder, sizeof folder, "/tmp/ratamark-test-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void end(void)
{
    faces_close(faces);
    arena_free(arena);
    char command[128];
    snprintf(command, sizeof command, "rm -r %s", folder);
    ck_assert_int_eq(system(command), 0);
}

static const char *in_folder(const char *name)
{
    return arena_format(arena, "%s/%s", folder, name);
}

static const char *put_file(const char *name, const char *bytes, size_t length)
{
    const char *path = in_folder(name);
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
    ck_assert_int_eq(fclose(file), 0);
    return path;
}

static const char *put_own_font(const char *name)
{
    struct buffer font = {0};
    ck_assert(file_read(OWN_FONT, 1 << 20, &font));
    const char *path = put_file(name, font.bytes, font.length);
    buffer_release(&font);
    return path;
}

/* ---- the music face ----------------------------------------------------------------------- */

/* The outline of one character of a font file by FreeType, in thousandths of an em, y down. */
struct outline {
    double left, top, right, bottom, advance;
};

static struct outline read_outline(const char *path, unsigned long character)
{
    FT_Library library;
    FT_Face face;
    FT_BBox box;
    ck_assert_int_eq(FT_Init_FreeType(&library), 0);
    ck_assert_int_eq(FT_New_Face(library, path, 0, &face), 0);
    FT_UInt index = FT_Get_Char_Index(face, character);
    ck_assert_uint_ne(index, 0);
    ck_assert_int_eq(FT_Load_Glyph(face, index, FT_LOAD_NO_SCALE), 0);
    ck_assert_int_eq(FT_Outline_Get_BBox(&face->glyph->outline, &box), 0);
    double em = face->units_per_EM / 1000.0;
    struct outline outline = {(double)box.xMin / em, (double)-box.yMax / em, (double)box.xMax / em,
                              (double)-box.yMin / em, (double)face->glyph->advance.x / em};
    FT_Done_Face(face);
    FT_Done_FreeType(library);
    return outline;
}

/* An em is four staff spaces (SMuFL 1.40, "Glyph metrics and registration"): 1/1000 em is 4 sp. */
START_TEST(signs_are_as_large_as_their_outlines)
{
    open_faces(NULL);
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++) {
        const struct glyph_metrics *told = &metrics.glyphs[glyph];
        ck_assert_msg(told->present, "%s", glyph_smufl_name(glyph));
        struct outline seen = read_outline(OWN_FONT, glyph_codepoint(glyph));
        ck_assert_msg(fabs(told->ink.left - 4 * seen.left) <= 10 &&
                          fabs(told->ink.top - 4 * seen.top) <= 10 &&
                          fabs(told->ink.right - 4 * seen.right) <= 10 &&
                          fabs(told->ink.bottom - 4 * seen.bottom) <= 10 &&
                          fabs(told->advance - 4 * seen.advance) <= 10,
                      "%s", glyph_smufl_name(glyph));
    }
}
END_TEST

/* The house's measures: engraving design, "Lines and marks". */
/* A sign as FreeType fills it, PIXEL thousandths of a space a pixel: the ink that slices must tell.
 */
struct raster {
    FT_Library library;
    FT_Face face;
    const FT_Bitmap *bitmap;
    sp left, top; /* of the bitmap's corner */
};
enum { PIXEL = 5 };

static void raster_open(struct raster *raster, const char *path, unsigned long character)
{
    ck_assert_int_eq(FT_Init_FreeType(&raster->library), 0);
    ck_assert_int_eq(FT_New_Face(raster->library, path, 0, &raster->face), 0);
    ck_assert_int_eq(FT_Set_Pixel_Sizes(raster->face, 0, 4000 / PIXEL), 0);
    FT_UInt index = FT_Get_Char_Index(raster->face, character);
    ck_assert_int_eq(FT_Load_Glyph(raster->face, index, FT_LOAD_RENDER | FT_LOAD_NO_HINTING), 0);
    raster->bitmap = &raster->face->glyph->bitmap;
    raster->left = raster->face->glyph->bitmap_left * PIXEL;
    raster->top = -raster->face->glyph->bitmap_top * PIXEL;
}

static void raster_close(struct raster *raster)
{
    FT_Done_Face(raster->face);
    FT_Done_FreeType(raster->library);
}

/* The ink between two heights (across: between two x), least and greatest place along the other
   direction. */
static void raster_extent(const struct raster *raster, bool across, sp from, sp to, sp *low,
                          sp *high)
{
    *low = INT32_MAX;
    *high = INT32_MIN;
    for (unsigned row = 0; row < raster->bitmap->rows; row++)
        for (unsigned column = 0; column < raster->bitmap->width; column++) {
            if (raster->bitmap->buffer[(int)row * raster->bitmap->pitch + (int)column] < 128)
                continue;
            sp x = raster->left + (sp)column * PIXEL, y = raster->top + (sp)row * PIXEL;
            sp along = across ? x : y, other = across ? y : x;
            if (along + PIXEL <= from || along >= to)
                continue;
            *low = other < *low ? other : *low;
            *high = other + PIXEL > *high ? other + PIXEL : *high;
        }
}

static void expect_slices(const struct raster *raster, struct slices slices, bool across, sp pad,
                          const char *name)
{
    ck_assert_uint_gt(slices.count, 0);
    for (int i = 0; i < slices.count; i++) {
        sp from = (slices.from + i) * GLYPH_SLICE - pad, to = from + GLYPH_SLICE + 2 * pad;
        sp low, high, near_low, near_high;
        const struct extent *told = &metrics.extents[slices.first + i];
        raster_extent(raster, across, from, to, &low, &high);
        raster_extent(raster, across, from - 2 * PIXEL, to + 2 * PIXEL, &near_low, &near_high);
        if (high < low) /* less than half a pixel */
            continue;
        /* all of the ink, and little more than what stands a pixel or two beyond the slice */
        ck_assert_msg(told->low <= low + PIXEL && told->low >= near_low - 4 * PIXEL &&
                          told->high >= high - PIXEL && told->high <= near_high + 4 * PIXEL,
                      "%s, slice %d: %d to %d, in pixels %d to %d", name, slices.from + i,
                      told->low, told->high, low, high);
    }
}

START_TEST(slices_hold_the_ink)
{
    open_faces(NULL);
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++) {
        struct raster raster;
        const struct glyph_metrics *told = &metrics.glyphs[glyph];
        raster_open(&raster, OWN_FONT, glyph_codepoint(glyph));
        expect_slices(&raster, told->rows, false, GLYPH_ROW_PAD, glyph_smufl_name(glyph));
        expect_slices(&raster, told->columns, true, 0, glyph_smufl_name(glyph));
        raster_close(&raster);
    }
}
END_TEST

/* A face from a file is cut when it is opened, and as our own was when the program was built. */
START_TEST(a_loaded_face_is_cut_alike)
{
    open_faces(NULL);
    struct faces *own = faces;
    struct metrics built = metrics;
    open_faces(put_own_font("copy.otf"));
    ck_assert_ptr_nonnull(faces);
    for (enum glyph glyph = GLYPH_NONE + 1; glyph < GLYPH_COUNT; glyph++) {
        const struct slices *a = &built.glyphs[glyph].rows, *b = &metrics.glyphs[glyph].rows;
        ck_assert_msg(a->from == b->from && a->count == b->count, "%s", glyph_smufl_name(glyph));
        ck_assert_mem_eq(built.extents + a->first, metrics.extents + b->first,
                         a->count * sizeof *built.extents);
        a = &built.glyphs[glyph].columns;
        b = &metrics.glyphs[glyph].columns;
        ck_assert_msg(a->from == b->from && a->count == b->count, "%s", glyph_smufl_name(glyph));
        ck_assert_mem_eq(built.extents + a->first, metrics.extents + b->first,
                         a->count * sizeof *built.extents);
    }
    faces_close(own);
}
END_TEST

START_TEST(own_face_states_the_house_measures)
{
    open_faces(NULL);
    const struct engraving_defaults *defaults = metrics.defaults;
    ck_assert_int_eq(defaults->staff_line, 120);
    ck_assert_int_eq(defaults->stem, 120);
    ck_assert_int_eq(defaults->leger, 160);
    ck_assert_int_eq(defaults->leger_extension, 350);
    ck_assert_int_eq(defaults->beam, 500);
    ck_assert_int_eq(defaults->beam_gap, 250);
    ck_assert_int_eq(defaults->thin_bar, 160);
    ck_assert_int_eq(defaults->thick_bar, 500);
    ck_assert_int_eq(defaults->bar_separation, 400);
    ck_assert_int_eq(defaults->repeat_dot_separation, 200);
    ck_assert_int_eq(defaults->tuplet_bracket, 130);
    ck_assert_int_eq(defaults->hairpin, 140);
}
END_TEST

/* SMuFL: the anchors of an up stem's bottom right and a down stem's top left corner; y is up in the
   metadata and down here. */
START_TEST(stems_join_where_the_metadata_says)
{
    open_faces(NULL);
    const struct glyph_metrics *head = &metrics.glyphs[GLYPH_HEAD_BLACK];
    ck_assert_int_eq(head->stem_up_se.x, head->ink.right);
    ck_assert_int_lt(head->stem_up_se.y, 0);
    ck_assert_int_eq(head->stem_down_nw.x, head->ink.left);
    ck_assert_int_gt(head->stem_down_nw.y, 0);
}
END_TEST

START_TEST(another_face_without_metadata_is_measured)
{
    open_faces(put_own_font("Other.otf"));
    ck_assert_ptr_nonnull(faces);
    const struct glyph_metrics *head = &metrics.glyphs[GLYPH_HEAD_BLACK];
    struct outline seen = read_outline(OWN_FONT, 0xE0A4);
    ck_assert_double_le(fabs(head->ink.right - 4 * seen.right), 1);
    ck_assert_double_le(fabs(head->ink.top - 4 * seen.top), 1);
    ck_assert_int_eq(head->stem_up_se.x, head->ink.right);
    ck_assert_int_eq(head->stem_up_se.y, (head->ink.top + head->ink.bottom) / 2);
    ck_assert_int_eq(metrics.defaults->stem, 120);
}
END_TEST

/* The numbers are the SMuFL specification's own sample (smufl-metrics: dummy font metadata). */
static const char sample_metadata[] =
    "{\"fontName\": \"Other\", \"engravingDefaults\": {\"staffLineThickness\": 0.1,"
    "\"stemThickness\": 0.1, \"beamThickness\": 0.5, \"beamSpacing\": 0.25,"
    "\"legerLineThickness\": 0.2, \"legerLineExtension\": 0.2},"
    "\"glyphBBoxes\": {\"noteheadBlack\": {\"bBoxNE\": [1.328, 0.5], \"bBoxSW\": [0.0, -0.5]}},"
    "\"glyphsWithAnchors\": {\"noteheadBlack\":"
    "{\"stemDownNW\": [0.0, -0.184], \"stemUpSE\": [1.328, 0.184]}}}";

START_TEST(another_face_is_laid_out_by_its_own_metadata)
{
    static const char *const names[] = {"Other.json", "Other_metadata.json", "metadata.json"};
    const char *font = put_own_font("Other.otf");
    put_file(names[_i], sample_metadata, sizeof sample_metadata - 1);
    open_faces(font);
    ck_assert_ptr_nonnull(faces);
    const struct glyph_metrics *head = &metrics.glyphs[GLYPH_HEAD_BLACK];
    ck_assert_int_eq(head->ink.right, 1328);
    ck_assert_int_eq(head->ink.top, -500);
    ck_assert_int_eq(head->stem_up_se.x, 1328);
    ck_assert_int_eq(head->stem_up_se.y, -184);
    ck_assert_int_eq(head->stem_down_nw.y, 184);
    ck_assert_int_eq(metrics.defaults->staff_line, 100);
    ck_assert_int_eq(metrics.defaults->leger, 200);
    ck_assert_int_eq(metrics.defaults->leger_extension, 200);
    /* What it leaves out is the house's. */
    ck_assert_int_eq(metrics.defaults->thick_bar, 500);
}
END_TEST

/* A face of one notehead, made by fontTools. */
START_TEST(signs_that_a_face_lacks_are_borrowed)
{
    const char *font = in_folder("Head.otf");
    const char *command = arena_format(
        arena, "/usr/bin/python3 -m fontTools.subset %s --unicodes=U+E0A4 --output-file=%s",
        OWN_FONT, font);
    ck_assert_int_eq(system(command), 0);
    open_faces(font);
    ck_assert_ptr_nonnull(faces);
    ck_assert(metrics.glyphs[GLYPH_HEAD_BLACK].present);
    ck_assert(metrics.glyphs[GLYPH_METER_4].present);
    struct outline seen = read_outline(OWN_FONT, glyph_codepoint(GLYPH_METER_4));
    ck_assert_double_le(fabs(metrics.glyphs[GLYPH_METER_4].ink.right - 4 * seen.right), 10);
}
END_TEST

static void expect_refusal(const char *font, enum diag_code code, const char *words)
{
    open_faces(font);
    ck_assert_ptr_null(faces);
    ck_assert_uint_eq(diags_errors(diags), 1);
    const struct diag *diag = diags_get(diags, 0);
    ck_assert_int_eq(diag->code, code);
    ck_assert_msg(strstr(diag->message, words) != NULL, "%s", diag->message);
    ck_assert_str_eq(diag->at.file, font);
}

START_TEST(no_file_is_unreadable)
{
    expect_refusal(in_folder("none.otf"), DIAG_UNREADABLE, "No such file");
}
END_TEST

START_TEST(a_folder_is_unreadable)
{
    expect_refusal(folder, DIAG_UNREADABLE, "cannot read");
}
END_TEST

START_TEST(a_text_is_not_a_font)
{
    expect_refusal(put_file("notes.otf", "title: notes\n", 13), DIAG_BAD_VALUE, "is not a font");
}
END_TEST

static const char *text_font(const char *pattern)
{
    FcPattern *wanted = FcNameParse((const FcChar8 *)pattern);
    FcResult result;
    FcChar8 *path;
    FcConfigSubstitute(NULL, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcPattern *found = FcFontMatch(NULL, wanted, &result);
    ck_assert_int_eq(FcPatternGetString(found, FC_FILE, 0, &path), FcResultMatch);
    const char *copy = arena_format(arena, "%s", (const char *)path);
    FcPatternDestroy(found);
    FcPatternDestroy(wanted);
    return copy;
}

START_TEST(a_text_font_is_no_music_font)
{
    expect_refusal(text_font("Open Sans"), DIAG_BAD_VALUE, "noteheadBlack");
}
END_TEST

START_TEST(spoilt_metadata_is_an_error)
{
    const char *font = put_own_font("Other.otf");
    put_file("Other.json", "{\"fontName\": ", 13);
    expect_refusal(font, DIAG_BAD_VALUE, "is not JSON");
}
END_TEST

/* ---- text --------------------------------------------------------------------------------- */

static label_id label(enum text_style style, const char *text)
{
    return metrics_label(&metrics, style, text, strlen(text));
}

START_TEST(a_label_is_set_once)
{
    open_faces(NULL);
    label_id first = label(TEXT_STICKING, "R");
    ck_assert_uint_ne(label(TEXT_STICKING, "L"), first);
    ck_assert_uint_ne(label(TEXT_COUNT, "R"), first);
    for (int i = 0; i < 3000; i++) {
        char text[16];
        snprintf(text, sizeof text, "%d", i);
        label_id number = label(TEXT_COUNT, text);
        ck_assert_uint_eq(label(TEXT_COUNT, text), number);
        ck_assert_str_eq(faces_label_text(faces, number), text);
    }
    ck_assert_uint_eq(label(TEXT_STICKING, "R"), first);
    ck_assert_str_eq(faces_label_text(faces, first), "R");
}
END_TEST

/* FreeType reads the same letter from the file that fontconfig names. */
static void expect_letter(enum text_style style, const char *pattern)
{
    open_faces(NULL);
    const struct text_style_row *row = text_style(style);
    double em = (row->of_staff ? row->size : row->size / SPACE_MM) * 1000;
    struct outline seen = read_outline(text_font(pattern), 'R');
    const struct label_metrics *told = metrics_of_label(&metrics, label(style, "R"));
    ck_assert_double_le(fabs(told->ink.left - seen.left * em / 1000), 10);
    ck_assert_double_le(fabs(told->ink.top - seen.top * em / 1000), 10);
    ck_assert_double_le(fabs(told->ink.right - seen.right * em / 1000), 10);
    ck_assert_double_le(fabs(told->ink.bottom - seen.bottom * em / 1000), 10);
    ck_assert_double_le(fabs(told->advance - seen.advance * em / 1000), 10);
    ck_assert_int_gt(told->ascent, -told->ink.top);
    ck_assert_int_gt(told->descent, 0);
}

/* Half way from the middle of the ink to the balance of the pixels that FreeType fills. */
static void expect_centre(enum text_style style, const char *pattern, char letter)
{
    struct raster raster;
    char text[] = {letter, 0};
    const struct text_style_row *row = text_style(style);
    double em = (row->of_staff ? row->size : row->size / SPACE_MM) * 1000;
    double mass = 0, moment = 0;
    raster_open(&raster, text_font(pattern), (unsigned char)letter);
    const FT_Bitmap *bitmap = raster.bitmap;
    for (unsigned y = 0; y < bitmap->rows; y++)
        for (unsigned x = 0; x < bitmap->width; x++) {
            double ink = bitmap->buffer[(int)y * bitmap->pitch + (int)x];
            mass += ink;
            moment += ink * (raster.left + (x + 0.5) * PIXEL);
        }
    double balance = moment / mass / 4000 * em;
    label_id set = label(style, text);
    const struct box *ink = &metrics_of_label(&metrics, set)->ink;
    double wanted = ((ink->left + ink->right) / 2.0 + balance) / 2;
    ck_assert_msg(fabs(metrics.label_centre(metrics.self, set) - wanted) <= 8,
                  "%c: %d, in pixels %.1f", letter, metrics.label_centre(metrics.self, set),
                  wanted);
    raster_close(&raster);
}

START_TEST(letters_are_centred_between_middle_and_mass)
{
    open_faces(NULL);
    for (const char *letter = "RLB"; *letter; letter++)
        expect_centre(TEXT_STICKING, "Open Sans:bold", *letter);
    for (const char *letter = "1234"; *letter; letter++)
        expect_centre(TEXT_COUNT_BEAT, "Open Sans:bold", *letter);
    for (const char *letter = "e&a"; *letter; letter++)
        expect_centre(TEXT_COUNT, "Open Sans", *letter);
}
END_TEST

/* An L hangs by its stem: what is right of it counts less than its box says. */
START_TEST(an_l_is_centred_left_of_its_middle)
{
    open_faces(NULL);
    label_id letter = label(TEXT_STICKING, "L");
    const struct box *ink = &metrics_of_label(&metrics, letter)->ink;
    ck_assert_int_lt(metrics.label_centre(metrics.self, letter), (ink->left + ink->right) / 2);
}
END_TEST

START_TEST(a_bold_letter_is_as_large_as_its_outline)
{
    expect_letter(TEXT_STICKING, "Open Sans:bold");
}
END_TEST

START_TEST(a_plain_letter_is_as_large_as_its_outline)
{
    expect_letter(TEXT_PARAGRAPH, "Open Sans");
}
END_TEST

/* Titles have one size on every page; sticking letters follow the staff, but never below 7 points.
 */
START_TEST(faces_take_another_staff)
{
    open_faces(NULL);
    sp title = metrics_of_label(&metrics, label(TEXT_TITLE, "Six"))->advance;
    sp letter = metrics_of_label(&metrics, label(TEXT_STICKING, "R"))->advance;
    double letter_mm = 2 * SPACE_MM, least_mm = 7 * 25.4 / 72;
    faces_resize(faces, SPACE_MM * 2);
    metrics = faces_metrics(faces);
    ck_assert_double_eq(metrics.space_mm, SPACE_MM * 2);
    ck_assert_int_le(abs(metrics_of_label(&metrics, label(TEXT_TITLE, "Six"))->advance * 2 - title),
                     2);
    ck_assert_int_eq(metrics_of_label(&metrics, label(TEXT_STICKING, "R"))->advance, letter);
    faces_resize(faces, SPACE_MM / 2);
    metrics = faces_metrics(faces);
    ck_assert_int_le(abs(metrics_of_label(&metrics, label(TEXT_STICKING, "R"))->advance -
                         (sp)(letter * least_mm / (letter_mm / 2))),
                     1);
    ck_assert_uint_eq(diags_count(diags), 0);
}
END_TEST

START_TEST(spaces_have_width_and_no_ink)
{
    open_faces(NULL);
    const struct label_metrics *told = metrics_of_label(&metrics, label(TEXT_FOOT, "  "));
    ck_assert_int_gt(told->advance, 0);
    ck_assert_int_lt(told->ink.right, told->ink.left);
    told = metrics_of_label(&metrics, label(TEXT_FOOT, ""));
    ck_assert_int_eq(told->advance, 0);
    ck_assert_int_lt(told->ink.right, told->ink.left);
}
END_TEST

/* Letters outside the fast path: combined, right to left, from another font. */
START_TEST(text_of_any_script_is_set)
{
    static const char *const texts[] = {"\303\251tude",
                                        "e\314\201",
                                        "\327\251\327\234\327\225\327\235",
                                        "R \327\251 L",
                                        "\316\224\317\215\316\277",
                                        "\360\237\245\201",
                                        "a\342\200\217b"};
    open_faces(NULL);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        label_id set = label(TEXT_PARAGRAPH, texts[i]);
        ck_assert_int_gt(metrics_of_label(&metrics, set)->advance, 0);
        ck_assert_str_eq(faces_label_text(faces, set), texts[i]);
    }
}
END_TEST

/* U+10FFFD is for private use and in no font of a fresh system. */
START_TEST(a_character_of_no_font_is_kept_once)
{
    const uint32_t *missing;
    open_faces(NULL);
    label(TEXT_PARAGRAPH, "\364\217\277\275");
    label(TEXT_PARAGRAPH, "again \364\217\277\275");
    ck_assert_uint_eq(faces_missing(faces, &missing), 1);
    ck_assert_uint_eq(missing[0], 0x10FFFD);
    faces_renew(faces, 1.75);
    ck_assert_uint_eq(faces_missing(faces, &missing), 0);
    ck_assert_uint_eq(diags_count(diags), 0);
}
END_TEST

/* What a heading says is read from its right end where its letters run that way. */
START_TEST(runs_come_in_the_order_in_which_they_are_read)
{
    open_faces(NULL);
    label_id set = label(TEXT_HEADING, "\327\251\327\234 3 (R L)");
    struct label_runs runs = text_labels_runs(faces->labels, set);
    struct buffer read = {0};
    ck_assert_uint_gt(runs.count, 1);
    for (size_t i = 0; i < runs.count; i++)
        buffer_add(&read, runs.runs[i].bytes, runs.runs[i].byte_count);
    ck_assert_str_eq(buffer_text(&read), "\327\251\327\234 3 (R L)");
    ck_assert(runs.runs[0].backward);
    ck_assert_double_gt(runs.runs[0].glyphs[0].x, runs.runs[1].glyphs[0].x);
    buffer_release(&read);
}
END_TEST

START_TEST(paragraphs_keep_to_their_width)
{
    static const char text[] =
        "Keep both sticks low, let the tip fall and rise by itself, and count aloud: the hand that "
        "does not play rests where it will play next. Zw\303\266lf Minuten, "
        "\327\251\327\234\327\225"
        "\327\235, then a break.";
    open_faces(NULL);
    for (sp width = 15000; width <= 120000; width += 7000) {
        const label_id *lines;
        struct buffer joined = {0};
        size_t count =
            metrics.wrap(metrics.self, TEXT_PARAGRAPH, text, sizeof text - 1, width, &lines);
        ck_assert_uint_ge(count, 1);
        for (size_t i = 0; i < count; i++) {
            ck_assert_int_le(metrics_of_label(&metrics, lines[i])->ink.right, width);
            buffer_add_text(&joined, i ? " " : "");
            buffer_add_text(&joined, faces_label_text(faces, lines[i]));
        }
        ck_assert_str_eq(buffer_text(&joined), text);
        buffer_release(&joined);
    }
}
END_TEST

/* Plain text is broken without Pango's layout: at the same places, whatever the width. */
START_TEST(plain_paragraphs_break_where_pango_would)
{
    static const char text[] = "Keep both sticks low \342\200\224 let the tip fall; re-play the "
                               "well-known 3/4 and 6/8 bars at "
                               "60\342\200\22396 (slowly!) and say \342\200\234one & "
                               "two\342\200\235. \303\211tude no. 7: as "
                               "written, then softly, then from memory. "
                               "Donaudampfschifffahrtstrommelwirbel, half an hour.";
    open_faces(NULL);
    PangoFontMap *map = pango_cairo_font_map_new();
    PangoContext *context = pango_font_map_create_context(map);
    pango_context_set_round_glyph_positions(context, FALSE);
    PangoLayout *layout = pango_layout_new(context);
    PangoFontDescription *font = pango_font_description_from_string("Open Sans");
    pango_font_description_set_absolute_size(font, 100 * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, text, -1);
    double em = text_style(TEXT_PARAGRAPH)->size / SPACE_MM * 1000;
    const char *word = "Donaudampfschifffahrtstrommelwirbel,"; /* a narrower line would part it */
    sp longest = metrics_of_label(&metrics, label(TEXT_PARAGRAPH, word))->advance + 1;
    for (sp width = longest; width <= 150000; width += 1234) {
        const label_id *lines;
        size_t count =
            metrics.wrap(metrics.self, TEXT_PARAGRAPH, text, sizeof text - 1, width, &lines);
        pango_layout_set_width(layout, (int)(width / em * 100 * PANGO_SCALE));
        ck_assert_int_eq((int)count, pango_layout_get_line_count(layout));
        for (size_t i = 0; i < count; i++) {
            const char *line = faces_label_text(faces, lines[i]);
            int start = pango_layout_get_line_readonly(layout, (int)i)->start_index;
            ck_assert_msg(strncmp(text + start, line, strlen(line)) == 0, "%d: '%s'", width, line);
        }
    }
    pango_font_description_free(font);
    g_object_unref(layout);
    g_object_unref(context);
    g_object_unref(map);
}
END_TEST

START_TEST(a_line_takes_what_fits)
{
    /* Two words: one line exactly where both fit. */
    open_faces(NULL);
    const label_id *lines;
    sp both = metrics_of_label(&metrics, label(TEXT_PARAGRAPH, "right left"))->advance;
    ck_assert_uint_eq(
        metrics.wrap(metrics.self, TEXT_PARAGRAPH, "right left", 10, both + 10, &lines), 1);
    ck_assert_uint_eq(
        metrics.wrap(metrics.self, TEXT_PARAGRAPH, "right left", 10, both - 10, &lines), 2);
}
END_TEST

START_TEST(a_word_longer_than_a_line_is_parted)
{
    static const char text[] = "a Donaudampfschifffahrtstrommelwirbel b";
    open_faces(NULL);
    const label_id *lines;
    size_t count = metrics.wrap(metrics.self, TEXT_PARAGRAPH, text, sizeof text - 1, 6000, &lines);
    ck_assert_uint_gt(count, 3);
    for (size_t i = 0; i < count; i++)
        ck_assert_int_le(metrics_of_label(&metrics, lines[i])->advance, 6000 + 20);
    ck_assert_uint_eq(/* not even a letter fits: one a line */
                      metrics.wrap(metrics.self, TEXT_PARAGRAPH, "abc", 3, 10, &lines), 3);
}
END_TEST

START_TEST(installed_family_gives_no_warning)
{
    open_faces(NULL);
    ck_assert_uint_eq(diags_count(diags), 0);
}
END_TEST

START_TEST(a_system_without_fonts_is_an_error)
{
    const char *configuration =
        arena_format(arena, "<fontconfig><dir>%s</dir><cachedir>%s</cachedir></fontconfig>", folder,
                     in_folder("cache"));
    setenv("FONTCONFIG_FILE", put_file("fonts.conf", configuration, strlen(configuration)), 1);
    ck_assert_ptr_null(faces_open(&(struct faces_options){.space_mm = 1.75}, diags));
    ck_assert_uint_eq(diags_errors(diags), 1);
    ck_assert_int_eq(diags_get(diags, 0)->code, DIAG_UNREADABLE);
}
END_TEST

/* A machine whose only font is the music face. */
START_TEST(a_missing_family_is_told_with_what_is_used)
{
    put_own_font("Only.otf");
    const char *configuration =
        arena_format(arena, "<fontconfig><dir>%s</dir><cachedir>%s</cachedir></fontconfig>", folder,
                     in_folder("cache"));
    setenv("FONTCONFIG_FILE", put_file("fonts.conf", configuration, strlen(configuration)), 1);
    open_faces(NULL);
    ck_assert_uint_eq(diags_count(diags), 1);
    const struct diag *diag = diags_get(diags, 0);
    ck_assert_int_eq(diag->code, DIAG_TEXT_FONT);
    ck_assert_ptr_nonnull(strstr(diag->message, "'Open Sans'"));
    ck_assert_ptr_nonnull(strstr(diag->message, "'Ratamark'"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("faces");
    TCase *tests = tcase_create("faces");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, signs_are_as_large_as_their_outlines);
    tcase_add_test(tests, slices_hold_the_ink);
    tcase_add_test(tests, a_loaded_face_is_cut_alike);
    tcase_add_test(tests, own_face_states_the_house_measures);
    tcase_add_test(tests, stems_join_where_the_metadata_says);
    tcase_add_test(tests, another_face_without_metadata_is_measured);
    tcase_add_loop_test(tests, another_face_is_laid_out_by_its_own_metadata, 0, 3);
    tcase_add_test(tests, signs_that_a_face_lacks_are_borrowed);
    tcase_add_test(tests, no_file_is_unreadable);
    tcase_add_test(tests, a_folder_is_unreadable);
    tcase_add_test(tests, a_text_is_not_a_font);
    tcase_add_test(tests, a_text_font_is_no_music_font);
    tcase_add_test(tests, spoilt_metadata_is_an_error);
    tcase_add_test(tests, a_label_is_set_once);
    tcase_add_test(tests, letters_are_centred_between_middle_and_mass);
    tcase_add_test(tests, an_l_is_centred_left_of_its_middle);
    tcase_add_test(tests, a_bold_letter_is_as_large_as_its_outline);
    tcase_add_test(tests, a_plain_letter_is_as_large_as_its_outline);
    tcase_add_test(tests, faces_take_another_staff);
    tcase_add_test(tests, spaces_have_width_and_no_ink);
    tcase_add_test(tests, text_of_any_script_is_set);
    tcase_add_test(tests, a_character_of_no_font_is_kept_once);
    tcase_add_test(tests, runs_come_in_the_order_in_which_they_are_read);
    tcase_add_test(tests, paragraphs_keep_to_their_width);
    tcase_add_test(tests, plain_paragraphs_break_where_pango_would);
    tcase_add_test(tests, a_line_takes_what_fits);
    tcase_add_test(tests, a_word_longer_than_a_line_is_parted);
    tcase_add_test(tests, installed_family_gives_no_warning);
    tcase_add_test(tests, a_missing_family_is_told_with_what_is_used);
    tcase_add_test(tests, a_system_without_fonts_is_an_error);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
