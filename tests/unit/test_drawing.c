/* Pages to PDF, SVG and PNG: read back by poppler, qpdf, libxml2 and librsvg. */
#include "base/arena.h"
#include "base/buffer.h"
#include "draw/draw.h"
#include "sample_page.h"
#include "suite.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <check.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define SPACE_MM 1.75
#define TITLE "Six <in> a (Five) & Su\303\256t"
#define AUTHOR "Wharf Lane Drum School"

static const enum format formats[] = {FORMAT_PDF, FORMAT_SVG, FORMAT_PNG};

static struct arena *arena;
static struct diags *diags;
static struct faces *faces;
static struct metrics metrics;
static struct page *page;
static char folder[64];

static void begin(void)
{
    arena = arena_new();
    diags = diags_new(arena);
    faces = faces_open(&(struct faces_options){.space_mm = SPACE_MM}, diags);
    ck_assert_ptr_nonnull(faces);
    metrics = faces_metrics(faces);
    page = sample_page(arena, &metrics);
    snprintf(folder, sizeof folder, "/tmp/ratamark-test-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
}

static void end(void)
{
    faces_close(faces);
    arena_free(arena);
    char command[128];
    snprintf(command, sizeof command, "rm -r %s", folder);
    ck_assert_int_eq(system(command), 0);
}

/* ---- helpers ------------------------------------------------------------------------------ */

static bool keep(void *closure, const void *bytes, size_t length)
{
    buffer_add(closure, bytes, length);
    return true;
}

static struct drawing_options options_at(double dpi)
{
    return (struct drawing_options){.title = TITLE, .author = AUTHOR, .dpi = dpi};
}

static struct buffer draw(enum format format, const struct page *drawn, double dpi)
{
    struct buffer out = {0};
    struct drawing_options options = options_at(dpi);
    struct drawing *drawing = drawing_open(faces, format, &options, keep, &out);
    drawing_page(drawing, drawn);
    ck_assert(drawing_close(drawing));
    return out;
}

static void put_file(const char *name, const struct buffer *bytes)
{
    FILE *file = fopen(name, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes->bytes, 1, bytes->length, file), bytes->length);
    ck_assert_int_eq(fclose(file), 0);
}

static void draw_file(const char *name, enum format format, double dpi)
{
    struct buffer out = draw(format, page, dpi);
    put_file(name, &out);
    buffer_release(&out);
}

/* What a command prints; it must succeed. */
static char *output_of(const char *command)
{
    struct buffer out = {0};
    char piece[4096];
    FILE *pipe = popen(command, "r");
    ck_assert_ptr_nonnull(pipe);
    for (size_t got; (got = fread(piece, 1, sizeof piece, pipe)) > 0;)
        buffer_add(&out, piece, got);
    ck_assert_msg(pclose(pipe) == 0, "%s", command);
    char *text = arena_copy_text(arena, buffer_text(&out), out.length);
    buffer_release(&out);
    return text;
}

/* Runs of white space become one space. */
static char *squeeze(char *text)
{
    char *to = text;
    bool space = true;
    for (const char *from = text; *from; from++) {
        bool white = strchr(" \t\n\f", *from) != NULL;
        if (!white || !space)
            *to++ = white ? ' ' : *from;
        space = white;
    }
    *to = 0;
    return text;
}

static void expect_in(const char *text, const char *part)
{
    ck_assert_msg(strstr(text, part) != NULL, "no '%s' in:\n%s", part, text);
}

static void expect_not_in(const char *text, const char *part)
{
    ck_assert_msg(strstr(text, part) == NULL, "'%s' in:\n%s", part, text);
}

/* ---- PDF ---------------------------------------------------------------------------------- */

START_TEST(fonts_are_embedded_and_subset)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    char *listing = output_of("pdffonts a.pdf");
    int fonts = 0;
    /* Two lines of heading; then the columns end: emb sub uni object ID. */
    strtok(listing, "\n");
    strtok(NULL, "\n");
    for (char *line; (line = strtok(NULL, "\n")); fonts++) {
        ck_assert_msg(strstr(line, " yes yes yes ") != NULL, "%s", line);
        ck_assert_msg(strstr(line, "Type 3") == NULL, "%s", line);
    }
    ck_assert_int_ge(fonts, 3);
}
END_TEST

START_TEST(qpdf_finds_no_fault)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    expect_in(output_of("qpdf --check a.pdf"), "No syntax or stream encoding errors");
}
END_TEST

START_TEST(pdf_says_title_and_author)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    char *info = squeeze(output_of("pdfinfo -enc UTF-8 a.pdf"));
    expect_in(info, "Title: " TITLE);
    expect_in(info, "Author: " AUTHOR);
    /* ISO 216: A4 is 210 mm x 297 mm. */
    expect_in(info, "(A4)");
}
END_TEST

START_TEST(pdf_has_no_date_but_a_given_one)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    expect_not_in(output_of("pdfinfo a.pdf"), "Date");

    static const struct {
        const char *given, *read;
    } dates[] = {{"2026-11-25", "CreationDate: 2026-11-25T00:00:00Z"},
                 {"2026-11-25T17:30:05Z", "CreationDate: 2026-11-25T17:30:05Z"}};
    for (size_t i = 0; i < sizeof dates / sizeof *dates; i++) {
        struct buffer out = {0};
        struct drawing_options options = options_at(0);
        options.date = dates[i].given;
        struct drawing *drawing = drawing_open(faces, FORMAT_PDF, &options, keep, &out);
        drawing_page(drawing, page);
        ck_assert(drawing_close(drawing));
        put_file("b.pdf", &out);
        buffer_release(&out);
        expect_in(squeeze(output_of("TZ=UTC pdfinfo -isodates b.pdf")), dates[i].read);
    }
}
END_TEST

START_TEST(text_reads_row_by_row)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    const char *text = squeeze(output_of("pdftotext a.pdf -"));
    const char *first = strstr(text, SAMPLE_STICKING_1), *second = strstr(text, SAMPLE_STICKING_2);
    expect_in(text, SAMPLE_STICKING_1);
    expect_in(text, SAMPLE_STICKING_2);
    ck_assert(first < second);
    expect_in(second, SAMPLE_COUNTS);
    expect_in(text, SAMPLE_TITLE);
    /* Accents and the letters of a ligature come out as they were written. */
    expect_in(text, SAMPLE_PARAGRAPH);

    /* With the page's layout kept, a row is one line. */
    char *lines = output_of("pdftotext -layout a.pdf -");
    bool found = false;
    for (char *line = strtok(lines, "\n"); line && !found; line = strtok(NULL, "\n"))
        found = strcmp(squeeze(line), SAMPLE_COUNTS) == 0 || strcmp(line, SAMPLE_COUNTS " ") == 0;
    ck_assert(found);
}
END_TEST

/* In the file's own order: heading, letters, counts, system by system. */
START_TEST(text_is_stored_system_by_system)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    const char *text = squeeze(output_of("pdftotext -raw a.pdf -"));
    static const char *const order[] = {SAMPLE_TITLE, "On the pad", SAMPLE_STICKING_1,
                                        "1 2 3 4",    "On the kit", SAMPLE_STICKING_2,
                                        "60"};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        expect_in(text, order[i]);
        text = strstr(text, order[i]);
    }
}
END_TEST

/* SMuFL signs are U+E000 ... U+F8FF: UTF-8 bytes EE xx xx and EF 80 xx ... EF A3 xx. */
START_TEST(signs_are_no_text)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    expect_not_in(output_of("pdftotext -enc UTF-8 a.pdf -"), "\xEE");
}
END_TEST

START_TEST(outline_leads_to_each_exercise)
{
    static const char *const titles[] = {"1 On the pad", "2 (\303\211tude) \\ \342\231\251",
                                         "9 Nowhere"};
    static const sp tops[] = {20000, 46000, 0};
    static const uint32_t pages[] = {1, 2, 9};
    struct buffer out = {0};
    struct drawing_options options = options_at(0);
    struct drawing *drawing = drawing_open(faces, FORMAT_PDF, &options, keep, &out);
    for (int i = 0; i < 3; i++)
        drawing_outline(drawing, (struct drawing_entry){titles[i], pages[i], tops[i], 0, false});
    drawing_page(drawing, page);
    drawing_page(drawing, page);
    ck_assert(drawing_close(drawing));
    put_file("a.pdf", &out);
    buffer_release(&out);

    json_t *read = json_loads(output_of("qpdf --json --json-key=outlines a.pdf"), 0, NULL);
    const json_t *entries = json_object_get(read, "outlines");
    ck_assert_uint_eq(json_array_size(entries), 2); /* a page that is not there has no entry */
    for (size_t i = 0; i < 2; i++) {
        const json_t *entry = json_array_get(entries, i);
        ck_assert_str_eq(json_string_value(json_object_get(entry, "title")), titles[i]);
        ck_assert_int_eq(json_integer_value(json_object_get(entry, "destpageposfrom1")), pages[i]);
        /* PDF counts from the bottom: 297 mm less the top, in points of 1/72 inch. */
        double y = json_number_value(json_array_get(json_object_get(entry, "dest"), 3));
        double expected = (297 - tops[i] / 1000.0 * SPACE_MM) * 72 / 25.4;
        ck_assert_double_le(fabs(y - expected), 1);
    }
    json_decref(read);
}
END_TEST

/* Links lead to later pages by a name; an outline has levels; the first page may have a name. */
START_TEST(links_and_levels_of_the_outline_lead_to_their_pages)
{
    struct buffer out = {0};
    struct drawing_options options = options_at(0);
    struct drawing *drawing = drawing_open(faces, FORMAT_PDF, &options, keep, &out);
    static const struct page_link links[] = {{{20000, 20000, 60000, 24000}, 2},
                                             {{20000, 30000, 60000, 34000}, 3},
                                             {{20000, 40000, 60000, 44000}, 3}};
    struct page first = *page;
    first.links = links;
    first.link_count = 3;
    first.label = "Cover";
    drawing_page(drawing, &first);
    static const struct drawing_entry entries[] = {{"Course", 1, 0, 0, false},
                                                   {"Lesson one", 2, 0, 1, true},
                                                   {"On the pad", 2, 4000, 2, false},
                                                   {"Lesson two", 3, 0, 1, true}};
    for (size_t i = 0; i < 4; i++)
        drawing_outline(drawing, entries[i]);
    drawing_page(drawing, page);
    drawing_page(drawing, page);
    ck_assert(drawing_close(drawing));
    put_file("a.pdf", &out);
    buffer_release(&out);
    expect_in(output_of("qpdf --check a.pdf"), "No syntax or stream encoding errors");
    /* poppler resolves the names: kind, and where a link leads to */
    expect_in(squeeze(output_of("pdfinfo -dests a.pdf")), "2 [ XYZ 0 842 null ] \"page-2\" "
                                                          "3 [ XYZ 0 842 null ] \"page-3\"");
    expect_in(squeeze(output_of("qpdf --qdf --object-streams=disable a.pdf - | "
                                "grep -a -o 'Dest (page-.)'")),
              "Dest (page-2) Dest (page-3) Dest (page-3)");
    json_t *read = json_loads(output_of("qpdf --json --json-key=outlines --json-key=pagelabels "
                                        "a.pdf"),
                              0, NULL);
    const json_t *course = json_array_get(json_object_get(read, "outlines"), 0);
    const json_t *lessons = json_object_get(course, "kids");
    ck_assert_str_eq(json_string_value(json_object_get(course, "title")), "Course");
    ck_assert_uint_eq(json_array_size(lessons), 2);
    const json_t *second = json_array_get(lessons, 1);
    ck_assert_str_eq(json_string_value(json_object_get(second, "title")), "Lesson two");
    ck_assert_int_eq(json_integer_value(json_object_get(second, "destpageposfrom1")), 3);
    const json_t *exercises = json_object_get(json_array_get(lessons, 0), "kids");
    ck_assert_uint_eq(json_array_size(exercises), 1);
    /* "Cover", then the numbers from 2 */
    const json_t *labels = json_object_get(read, "pagelabels");
    const json_t *cover = json_object_get(json_array_get(labels, 0), "label");
    const json_t *rest = json_object_get(json_array_get(labels, 1), "label");
    expect_in(json_string_value(json_object_get(cover, "/P")), "Cover");
    ck_assert_str_eq(json_string_value(json_object_get(rest, "/S")), "/D");
    ck_assert_int_eq(json_integer_value(json_object_get(rest, "/St")), 2);
    json_decref(read);
}
END_TEST

/* ---- SVG ---------------------------------------------------------------------------------- */

START_TEST(svg_is_valid_xml_with_a_title)
{
    draw_file("a.svg", FORMAT_SVG, 0);
    output_of("xmllint --noout a.svg");
    ck_assert_str_eq(squeeze(output_of("xmllint --xpath 'string(/*/*[local-name()=\"title\"])' "
                                       "a.svg")),
                     TITLE " ");
    expect_in(output_of("xmllint --xpath 'string(/*/@width)' a.svg"), "595.27");
}
END_TEST

/* Cairo counts groups through the whole process. */
START_TEST(svg_does_not_tell_what_was_drawn_before)
{
    struct buffer first = draw(FORMAT_SVG, page, 0);
    for (int i = 0; i < 5; i++) {
        cairo_surface_t *other = cairo_svg_surface_create(NULL, 10 + i, 10);
        cairo_surface_destroy(other);
    }
    struct buffer second = draw(FORMAT_SVG, page, 0);
    ck_assert_str_eq(buffer_text(&first), buffer_text(&second));
    buffer_release(&first);
    buffer_release(&second);
}
END_TEST

/* ---- PNG ---------------------------------------------------------------------------------- */

static uint32_t big_endian(const char *at)
{
    uint32_t value = 0;
    for (int i = 0; i < 4; i++)
        value = value << 8 | (unsigned char)at[i];
    return value;
}

START_TEST(png_is_as_large_as_its_resolution)
{
    /* A4 in pixels: 210 mm and 297 mm over 25.4 mm an inch. */
    static const struct {
        double dpi;
        uint32_t width, height;
    } sizes[] = {{72, 595, 842}, {96, 794, 1123}, {150, 1240, 1754}, {300, 2480, 3508}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        struct buffer out = draw(FORMAT_PNG, page, sizes[i].dpi);
        ck_assert_uint_eq(big_endian(out.bytes + 16), sizes[i].width);
        ck_assert_uint_eq(big_endian(out.bytes + 20), sizes[i].height);
        buffer_release(&out);
    }
}
END_TEST

/* 72 dpi is 2835 pixels a metre; the checksum of that chunk was computed with Python's
   zlib.crc32(b"pHYs" + bytes.fromhex("00000b1300000b1301")). */
START_TEST(png_says_its_resolution)
{
    static const char chunk[] = "\0\0\0\11pHYs\0\0\13\23\0\0\13\23\1\0\232\234\30";
    struct buffer out = draw(FORMAT_PNG, page, 72);
    ck_assert_int_eq(memcmp(out.bytes + 33, chunk, sizeof chunk - 1), 0);
    buffer_release(&out);
}
END_TEST

START_TEST(png_too_large_is_refused)
{
    struct buffer out = {0};
    struct drawing_options options = options_at(100000);
    struct drawing *drawing = drawing_open(faces, FORMAT_PNG, &options, keep, &out);
    drawing_page(drawing, page);
    ck_assert(!drawing_close(drawing));
    buffer_release(&out);
}
END_TEST

/* ---- ink ---------------------------------------------------------------------------------- */

static cairo_status_t next_bytes(void *closure, unsigned char *to, unsigned int length)
{
    const char **from = closure;
    memcpy(to, *from, length);
    *from += length;
    return CAIRO_STATUS_SUCCESS;
}

/* A picture whose pixels hold how dark they are: 0 white ... 255 black. */
struct picture {
    cairo_surface_t *surface;
    int width, height;
};

static struct picture load_picture(const struct buffer *png)
{
    const char *from = png->bytes;
    cairo_surface_t *surface = cairo_image_surface_create_from_png_stream(next_bytes, &from);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    return (struct picture){surface, cairo_image_surface_get_width(surface),
                            cairo_image_surface_get_height(surface)};
}

static struct picture load_picture_file(const char *name)
{
    cairo_surface_t *surface = cairo_image_surface_create_from_png(name);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    return (struct picture){surface, cairo_image_surface_get_width(surface),
                            cairo_image_surface_get_height(surface)};
}

static int darkness(const struct picture *picture, int x, int y)
{
    const unsigned char *row = cairo_image_surface_get_data(picture->surface) +
                               y * cairo_image_surface_get_stride(picture->surface);
    return 255 - row[4 * x + 1]; /* green of 32 bits a pixel */
}

/* The pixels that are darker than a shade, as a box in sp; pixels are `size` sp wide. */
static struct box inked(const struct picture *picture, double size)
{
    int left = picture->width, top = picture->height, right = -1, bottom = -1;
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++)
            if (darkness(picture, x, y) > 24) {
                left = x < left ? x : left;
                right = x > right ? x : right;
                top = y < top ? y : top;
                bottom = y > bottom ? y : bottom;
            }
    return (struct box){(sp)(left * size), (sp)(top * size), (sp)((right + 1) * size),
                        (sp)((bottom + 1) * size)};
}

/* Each mark by itself: its ink is where the metrics told the layout that it would be. */
START_TEST(ink_fills_the_box_of_its_mark)
{
    enum { DPI = 150 };
    double pixel = 25.4 / DPI / SPACE_MM * 1000;
    for (size_t i = 0; i < page->mark_count; i += i < 30 ? 1 : 7) {
        const struct mark *mark = &page->marks[i];
        struct page alone = {.width = 70000,
                             .height = 70000,
                             .marks = (struct mark *)(uintptr_t)mark,
                             .mark_count = 1};
        struct buffer out = draw(FORMAT_PNG, &alone, DPI);
        struct picture picture = load_picture(&out);
        struct box ink = inked(&picture, pixel);
        const char *role = mark_role_word((enum mark_role)mark->role);
        ck_assert_msg(abs(ink.left - mark->box.left) < 1.2 * pixel &&
                          abs(ink.top - mark->box.top) < 1.2 * pixel &&
                          abs(ink.right - mark->box.right) < 1.2 * pixel &&
                          abs(ink.bottom - mark->box.bottom) < 1.2 * pixel,
                      "%s %zu: box %d %d %d %d, ink %d %d %d %d", role, i, mark->box.left,
                      mark->box.top, mark->box.right, mark->box.bottom, ink.left, ink.top,
                      ink.right, ink.bottom);
        cairo_surface_destroy(picture.surface);
        buffer_release(&out);
    }
}
END_TEST

/* True when the picture has some ink within a pixel of this one. */
static bool ink_near(const struct picture *picture, int x, int y)
{
    for (int dy = -1; dy <= 1; dy++)
        for (int dx = -1; dx <= 1; dx++)
            if (x + dx >= 0 && x + dx < picture->width && y + dy >= 0 && y + dy < picture->height &&
                darkness(picture, x + dx, y + dy) > 85)
                return true;
    return false;
}

/* Share of the dark pixels of either picture that the other does not have, give or take a pixel. */
static double difference(const struct picture *a, const struct picture *b)
{
    ck_assert_int_eq(a->width, b->width);
    ck_assert_int_eq(a->height, b->height);
    long alone = 0, dark = 0;
    for (int y = 0; y < a->height; y++)
        for (int x = 0; x < a->width; x++) {
            bool one = darkness(a, x, y) > 170, other = darkness(b, x, y) > 170;
            dark += one || other;
            alone += (one && !ink_near(b, x, y)) || (other && !ink_near(a, x, y));
        }
    return (double)alone / (double)dark;
}

static double difference_from(const char *name)
{
    struct buffer out = draw(FORMAT_PNG, page, 144);
    struct picture own = load_picture(&out), other = load_picture_file(name);
    double share = difference(&own, &other);
    cairo_surface_destroy(own.surface);
    cairo_surface_destroy(other.surface);
    buffer_release(&out);
    return share;
}

START_TEST(librsvg_sees_the_same_page)
{
    draw_file("a.svg", FORMAT_SVG, 0);
    output_of("rsvg-convert -w 1191 -h 1684 -o rsvg.png a.svg");
    ck_assert_double_lt(difference_from("rsvg.png"), 0.001);
}
END_TEST

START_TEST(poppler_sees_the_same_page)
{
    draw_file("a.pdf", FORMAT_PDF, 0);
    output_of("pdftoppm -r 144 -png -singlefile a.pdf poppler");
    ck_assert_double_lt(difference_from("poppler.png"), 0.001);
}
END_TEST

START_TEST(the_comparison_sees_a_missing_row)
{
    draw_file("a.svg", FORMAT_SVG, 0);
    output_of("rsvg-convert -w 1191 -h 1684 -o rsvg.png a.svg");
    for (size_t i = 0; i < page->mark_count; i++)
        if (page->marks[i].role == ROLE_STICKING)
            page->marks[i] = page->marks[0];
    ck_assert_double_gt(difference_from("rsvg.png"), 0.001);
}
END_TEST

/* Of two rings that cross, how dark each is where the other's disc is. */
static void darkness_of_rings(enum mark_role role, const char *picture_file, int dark[2])
{
    enum { DPI = 144, FIRST = 20000, SECOND = 25000, Y = 20000, RADIUS = 4000 };
    double pixel = 25.4 / DPI / SPACE_MM * 1000;
    struct mark rings[2];
    for (int i = 0; i < 2; i++) {
        sp x = i ? SECOND : FIRST;
        rings[i] = (struct mark){.role = (uint8_t)role,
                                 .shape = SHAPE_RING,
                                 .as.at = {x, Y},
                                 .with.width = 400,
                                 .radius = RADIUS,
                                 .box = {x - 4200, Y - 4200, x + 4200, Y + 4200}};
    }
    struct page two = {.number = 1, .count = 1, .width = 70000, .height = 70000};
    two.marks = rings;
    two.mark_count = 2;
    page = &two;
    draw_file("rings.png", FORMAT_PNG, DPI);
    draw_file("rings.svg", FORMAT_SVG, 0);
    draw_file("rings.pdf", FORMAT_PDF, 0);
    output_of("rsvg-convert -d 144 -p 144 -b white -o rings-svg.png rings.svg");
    output_of("pdftoppm -r 144 -png -singlefile rings.pdf rings-pdf");
    struct picture picture = load_picture_file(picture_file);
    dark[0] = darkness(&picture, (int)((FIRST + RADIUS) / pixel), (int)(Y / pixel));
    dark[1] = darkness(&picture, (int)((SECOND - RADIUS) / pixel), (int)(Y / pixel));
    cairo_surface_destroy(picture.surface);
}

START_TEST(a_ring_of_the_plan_hides_what_is_below_it)
{
    static const char *const files[] = {"rings.png", "rings-svg.png", "rings-pdf.png"};
    int dark[2];
    darkness_of_rings(ROLE_PLAN_RIM, files[_i], dark);
    ck_assert_int_eq(dark[0], 0);
    ck_assert_int_gt(dark[1], 200);
    darkness_of_rings(ROLE_HEADING_RING, files[_i], dark);
    ck_assert_int_gt(dark[0], 200);
}
END_TEST

/* ---- every format ------------------------------------------------------------------------- */

START_TEST(same_page_same_bytes)
{
    struct buffer first = draw(formats[_i], page, 96), second = draw(formats[_i], page, 96);
    ck_assert_uint_eq(first.length, second.length);
    ck_assert_int_eq(memcmp(first.bytes, second.bytes, first.length), 0);
    buffer_release(&first);
    buffer_release(&second);
}
END_TEST

/* Fails from the given byte on. */
struct full_disk {
    size_t room;
    int calls_after;
};

static bool write_until_full(void *closure, const void *bytes, size_t length)
{
    struct full_disk *disk = closure;
    (void)bytes;
    disk->calls_after += disk->room == 0;
    if (length > disk->room) {
        disk->room = 0;
        return false;
    }
    disk->room -= length;
    return true;
}

START_TEST(a_failed_write_is_told_at_the_end)
{
    struct buffer whole = draw(formats[_i], page, 96);
    const size_t rooms[] = {0, 1000, whole.length - 1};
    for (size_t i = 0; i < sizeof rooms / sizeof *rooms; i++) {
        struct full_disk disk = {rooms[i], 0};
        struct drawing_options options = options_at(96);
        struct drawing *drawing =
            drawing_open(faces, formats[_i], &options, write_until_full, &disk);
        drawing_page(drawing, page);
        ck_assert(!drawing_close(drawing));
        ck_assert_int_le(disk.calls_after, 1); /* nothing more is sent after a failure */
    }
    buffer_release(&whole);
}
END_TEST

START_TEST(no_page_is_no_drawing)
{
    struct buffer out = {0};
    struct drawing_options options = options_at(96);
    ck_assert(!drawing_close(drawing_open(faces, formats[_i], &options, keep, &out)));
    ck_assert_uint_eq(out.length, 0);
}
END_TEST

START_TEST(pictures_hold_one_page)
{
    struct buffer out = {0};
    struct drawing_options options = options_at(96);
    struct drawing *drawing = drawing_open(faces, formats[_i], &options, keep, &out);
    drawing_page(drawing, page);
    drawing_page(drawing, page);
    ck_assert_int_eq(drawing_close(drawing), formats[_i] == FORMAT_PDF);
    buffer_release(&out);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drawing");
    TCase *tests = tcase_create("drawing");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, fonts_are_embedded_and_subset);
    tcase_add_test(tests, qpdf_finds_no_fault);
    tcase_add_test(tests, pdf_says_title_and_author);
    tcase_add_test(tests, pdf_has_no_date_but_a_given_one);
    tcase_add_test(tests, text_reads_row_by_row);
    tcase_add_test(tests, text_is_stored_system_by_system);
    tcase_add_test(tests, signs_are_no_text);
    tcase_add_test(tests, outline_leads_to_each_exercise);
    tcase_add_test(tests, links_and_levels_of_the_outline_lead_to_their_pages);
    tcase_add_test(tests, svg_is_valid_xml_with_a_title);
    tcase_add_test(tests, svg_does_not_tell_what_was_drawn_before);
    tcase_add_test(tests, png_is_as_large_as_its_resolution);
    tcase_add_test(tests, png_says_its_resolution);
    tcase_add_test(tests, png_too_large_is_refused);
    tcase_add_test(tests, ink_fills_the_box_of_its_mark);
    tcase_add_test(tests, librsvg_sees_the_same_page);
    tcase_add_test(tests, poppler_sees_the_same_page);
    tcase_add_test(tests, the_comparison_sees_a_missing_row);
    tcase_add_loop_test(tests, a_ring_of_the_plan_hides_what_is_below_it, 0, 3);
    tcase_add_loop_test(tests, same_page_same_bytes, 0, 3);
    tcase_add_loop_test(tests, a_failed_write_is_told_at_the_end, 0, 3);
    tcase_add_loop_test(tests, no_page_is_no_drawing, 0, 3);
    tcase_add_loop_test(tests, pictures_hold_one_page, 0, 3);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
