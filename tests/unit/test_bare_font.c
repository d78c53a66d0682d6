/* Fonts without their hints, read back by FreeType beside the whole ones; kept shapes. */
#include "base/file.h"
#include "draw/bare_font.h"
#include "draw/open_font.h"
#include "draw/text_shapes.h"

#include <check.h>
#include <fontconfig/fontconfig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include FT_OUTLINE_H
#include FT_TRUETYPE_TABLES_H

static const char *const styles[] = {"Regular", "Bold", "Italic", "Condensed Light"};

static void read_font(const char *style, struct buffer *bytes)
{
    char name[64];
    FcResult result;
    FcChar8 *file;
    snprintf(name, sizeof name, "Open Sans:style=%s", style);
    FcPattern *wanted = FcNameParse((const FcChar8 *)name);
    FcConfigSubstitute(NULL, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcPattern *font = FcFontMatch(NULL, wanted, &result);
    ck_assert_ptr_nonnull(font);
    ck_assert_int_eq(FcPatternGetString(font, FC_FILE, 0, &file), FcResultMatch);
    ck_assert(file_read((const char *)file, 1 << 20, bytes));
    FcPatternDestroy(font);
    FcPatternDestroy(wanted);
}

static struct open_font *open_bytes(const struct buffer *bytes)
{
    struct open_font *font = open_font_new();
    ck_assert_int_eq(open_font_read(font, bytes->bytes, bytes->length), 0);
    return font;
}

static FT_ULong table_size(const struct open_font *font, FT_ULong tag)
{
    FT_ULong size = 0;
    return FT_Load_Sfnt_Table(font->face, tag, 0, NULL, &size) ? 0 : size;
}

static void expect_same_glyph(const struct open_font *a, const struct open_font *b, FT_UInt index)
{
    enum { PLAIN = FT_LOAD_NO_SCALE | FT_LOAD_NO_HINTING };
    ck_assert_int_eq(FT_Load_Glyph(a->face, index, PLAIN), 0);
    ck_assert_int_eq(FT_Load_Glyph(b->face, index, PLAIN), 0);
    const FT_Outline *one = &a->face->glyph->outline, *other = &b->face->glyph->outline;
    ck_assert_int_eq(a->face->glyph->advance.x, b->face->glyph->advance.x);
    ck_assert_int_eq(one->n_points, other->n_points);
    ck_assert_int_eq(one->n_contours, other->n_contours);
    if (one->n_points == 0)
        return;
    size_t points = (size_t)one->n_points, contours = (size_t)one->n_contours;
    ck_assert_mem_eq(one->points, other->points, points * sizeof *one->points);
    ck_assert_mem_eq(one->tags, other->tags, points);
    ck_assert_mem_eq(one->contours, other->contours, contours * sizeof *one->contours);
}

START_TEST(a_bare_font_has_the_same_glyphs)
{
    struct buffer bytes = {0}, bare = {0};
    read_font(styles[_i], &bytes);
    ck_assert(bare_font_write(bytes.bytes, bytes.length, &bare));
    struct open_font *whole = open_bytes(&bytes), *ours = open_bytes(&bare);
    ck_assert_int_gt(whole->face->num_glyphs, 500);
    ck_assert_int_eq(whole->face->num_glyphs, ours->face->num_glyphs);
    for (FT_UInt i = 0; i < (FT_UInt)whole->face->num_glyphs; i++)
        expect_same_glyph(whole, ours, i);
    for (FT_ULong letter = 0; letter < 0x2500; letter++)
        ck_assert_uint_eq(FT_Get_Char_Index(whole->face, letter),
                          FT_Get_Char_Index(ours->face, letter));
    ck_assert_str_eq(FT_Get_Postscript_Name(whole->face), FT_Get_Postscript_Name(ours->face));
    open_font_drop(whole);
    open_font_drop(ours);
    buffer_release(&bytes);
    buffer_release(&bare);
}
END_TEST

/* The programs' tables are gone, and what each glyph had of its own. */
START_TEST(a_bare_font_has_no_hints)
{
    struct buffer bytes = {0}, bare = {0};
    read_font(styles[_i], &bytes);
    ck_assert(bare_font_write(bytes.bytes, bytes.length, &bare));
    struct open_font *whole = open_bytes(&bytes), *ours = open_bytes(&bare);
    static const FT_ULong programs[] = {FT_MAKE_TAG('c', 'v', 't', ' '),
                                        FT_MAKE_TAG('f', 'p', 'g', 'm'),
                                        FT_MAKE_TAG('p', 'r', 'e', 'p')};
    for (size_t i = 0; i < sizeof programs / sizeof *programs; i++) {
        ck_assert_uint_gt(table_size(whole, programs[i]), 0);
        ck_assert_uint_eq(table_size(ours, programs[i]), 0);
    }
    FT_ULong outlines = FT_MAKE_TAG('g', 'l', 'y', 'f');
    ck_assert_uint_lt(table_size(ours, outlines), table_size(whole, outlines) * 9 / 10);
    open_font_drop(whole);
    open_font_drop(ours);
    buffer_release(&bytes);
    buffer_release(&bare);
}
END_TEST

START_TEST(what_is_no_plain_font_is_left_alone)
{
    struct buffer music = {0}, bare = {0};
    ck_assert(file_read("fonts/Ratamark.otf", 1 << 20, &music)); /* its outlines are CFF */
    ck_assert(!bare_font_write(music.bytes, music.length, &bare));
    ck_assert(!bare_font_write("", 0, &bare));
    ck_assert(!bare_font_write("ttcf\0\1\0\0\0\0\0\1", 12, &bare));
    ck_assert_ptr_null(bare.bytes);
    buffer_release(&music);
}
END_TEST

/* Cut short, or with a byte spoilt: refused or written, never read beyond its end (the sanitizers
   watch a copy that is just as long). */
START_TEST(a_broken_font_does_no_harm)
{
    struct buffer bytes = {0};
    size_t refused = 0;
    read_font("Regular", &bytes);
    for (unsigned i = 0; i < 400; i++) {
        struct buffer bare = {0};
        size_t length = i % 2 ? bytes.length : bytes.length * (i + 1) / 400;
        char *copy = malloc(length);
        ck_assert_ptr_nonnull(copy);
        memcpy(copy, bytes.bytes, length);
        unsigned seed = i * 2654435761u;
        size_t reach = i % 4 == 1 ? 300 : length; /* the directory; anywhere */
        for (int k = 0; k < 40; k++, seed = seed * 1103515245u + 12345u)
            copy[(seed >> 8) % (reach < length ? reach : length)] = (char)(seed >> 3);
        bool written = bare_font_write(copy, length, &bare);
        refused += !written;
        ck_assert(written || !bare.bytes);
        buffer_release(&bare);
        free(copy);
    }
    ck_assert_uint_gt(refused, 200);
    buffer_release(&bytes);
}
END_TEST

/* ---- shapes ------------------------------------------------------------------------------- */

START_TEST(shapes_are_kept_by_font_and_text)
{
    int fonts[2];
    const struct text_glyph glyph = {.index = 7, .shown = true, .x = 1.5};
    struct text_shapes *shapes = text_shapes_new();
    for (int i = 0; i < 5000; i++) {
        char text[16];
        int length = snprintf(text, sizeof text, "%d", i);
        struct text_stretch stretch = {
            .text = text, .length = (size_t)length, .glyphs = &glyph, .count = 1, .advance = i};
        text_shapes_keep(shapes, &fonts[i % 2], &stretch);
        const struct text_shape *kept =
            text_shapes_find(shapes, &fonts[i % 2], text, (size_t)length);
        ck_assert_ptr_nonnull(kept);
        ck_assert_double_eq(kept->stretch.advance, i);
        ck_assert_double_eq(kept->stretch.glyphs[0].x, 1.5);
        ck_assert_ptr_null(text_shapes_find(shapes, &fonts[1 - i % 2], text, (size_t)length));
        ck_assert_ptr_null(text_shapes_find(shapes, &fonts[i % 2], "x", 1));
    }
    ck_assert_ptr_null(text_shapes_find(shapes, &fonts[0], "0", 1)); /* forgotten by then */
    text_shapes_free(shapes);
}
END_TEST

int main(void)
{
    enum { STYLES = sizeof styles / sizeof *styles };
    Suite *suite = suite_create("bare_font");
    TCase *tests = tcase_create("fonts");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, a_bare_font_has_the_same_glyphs, 0, STYLES);
    tcase_add_loop_test(tests, a_bare_font_has_no_hints, 0, STYLES);
    tcase_add_test(tests, what_is_no_plain_font_is_left_alone);
    tcase_add_test(tests, a_broken_font_does_no_harm);
    tcase_add_test(tests, shapes_are_kept_by_font_and_text);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
