/* The end of a PDF: what is added to it, and when nothing can be. */
#include "base/arena.h"
#include "draw/pdf_end.h"
#include "lib/pipeline.h"
#include "suite.h"

#include <cairo-pdf.h>
#include <check.h>
#include <dlfcn.h>
#include <string.h>

static struct arena *arena;
static struct sink *sink;
static struct buffer out, plain;

static bool keep(void *closure, const void *bytes, size_t length)
{
    buffer_add(closure, bytes, length);
    return true;
}

static cairo_status_t keep_plain(void *closure, const unsigned char *bytes, unsigned int length)
{
    buffer_add(closure, bytes, length);
    return CAIRO_STATUS_SUCCESS;
}

/* A cairo of another kind, where `figure_tag` is changed: its structure has no Figures. The library
   calls this one, as the program's own functions come first. */
static const char *figure_tag = "Figure";

void cairo_tag_begin(cairo_t *cairo, const char *tag, const char *attributes)
{
    static void (*begin)(cairo_t * cairo, const char *tag, const char *attributes);
    if (!begin)
        *(void **)&begin = dlsym(RTLD_NEXT, "cairo_tag_begin");
    begin(cairo, strcmp(tag, "Figure") == 0 ? figure_tag : tag, attributes);
}

void cairo_tag_end(cairo_t *cairo, const char *tag)
{
    static void (*end)(cairo_t * cairo, const char *tag);
    if (!end)
        *(void **)&end = dlsym(RTLD_NEXT, "cairo_tag_end");
    end(cairo, strcmp(tag, "Figure") == 0 ? figure_tag : tag);
}

/* What cairo itself writes for two pages, each with a Figure. */
static void draw_plain(void)
{
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(keep_plain, &plain, 200, 100);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, NULL);
    cairo_t *cairo = cairo_create(surface);
    cairo_tag_begin(cairo, "Document", NULL);
    for (int page = 0; page < 2; page++) {
        cairo_tag_begin(cairo, "Figure", NULL);
        cairo_rectangle(cairo, 10, 10, 20, 20);
        cairo_fill(cairo);
        cairo_tag_end(cairo, "Figure");
        cairo_show_page(cairo);
    }
    cairo_tag_end(cairo, "Document");
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    cairo_surface_destroy(surface);
}

static void begin(void)
{
    arena = arena_new();
    sink = arena_alloc(arena, sizeof *sink);
    draw_plain();
}

static void end(void)
{
    figure_tag = "Figure";
    buffer_release(&out);
    buffer_release(&plain);
    arena_free(arena);
}

static const char *const readings[] = {"One bar. (Two\\three)", "B\303\244r \360\237\233\242"};
static const struct pdf_words two = {"de", readings, 2, "en"};

/* Passes the bytes through pdf_end in pieces; `out` holds what comes out. */
static bool pass(const char *bytes, size_t length, size_t piece, const struct pdf_words *words)
{
    buffer_release(&out);
    *sink = (struct sink){.write = keep, .closure = &out};
    struct pdf_end ending = {.sink = sink};
    for (size_t at = 0; at < length; at += piece)
        pdf_end_write(&ending, (const unsigned char *)bytes + at,
                      (unsigned)(length - at < piece ? length - at : piece));
    bool added = pdf_end_finish(&ending, words);
    ck_assert(sink_close(sink));
    return added;
}

static void expect_unchanged(const char *bytes, size_t length, const struct pdf_words *words)
{
    ck_assert(!pass(bytes, length, 100, words));
    ck_assert_uint_eq(out.length, length);
    ck_assert_int_eq(memcmp(buffer_text(&out), bytes, length), 0);
}

static bool holds(const char *text)
{
    size_t size = strlen(text);
    for (size_t at = 0; at + size <= out.length; at++)
        if (memcmp(out.bytes + at, text, size) == 0)
            return true;
    return false;
}

/* ---- what is added ------------------------------------------------------------------------ */

START_TEST(words_are_added_whatever_the_pieces)
{
    ck_assert(pass(plain.bytes, plain.length, plain.length, &two));
    ck_assert(holds("/Lang (de)") && holds("/Lang (en)") && holds("/DisplayDocTitle true"));
    ck_assert(holds("/Alt (One bar. \\(Two\\\\three\\))"));
    ck_assert(holds("/Alt <FEFF004200E400720020D83DDEE2>"));
    struct buffer whole = out;
    out = (struct buffer){0};
    for (size_t piece = 1; piece < 300; piece += 37) {
        ck_assert(pass(plain.bytes, plain.length, piece, &two));
        ck_assert_uint_eq(out.length, whole.length);
        ck_assert_int_eq(memcmp(out.bytes, whole.bytes, whole.length), 0);
    }
    buffer_release(&whole);
}
END_TEST

START_TEST(other_white_space_makes_no_difference)
{
    char *changed = arena_copy_text(arena, plain.bytes, plain.length);
    for (char *at = changed; (at = strstr(at, "/S /Figure")) != NULL; at++)
        at[2] = '\t';
    char *root = changed;
    for (size_t i = 0; i + 5 < plain.length; i++)
        if (memcmp(changed + i, "/Type /Catalog", 5) == 0)
            root = changed + i;
    ck_assert(root != changed);
    root[-1] = '\r';
    ck_assert(pass(changed, plain.length, 100, &two));
}
END_TEST

/* ---- what cannot be added to -------------------------------------------------------------- */

START_TEST(another_number_of_figures_leaves_the_file_as_it_is)
{
    for (size_t count = 0; count < 4; count++) {
        static const char *const many[] = {"a", "b", "c"};
        struct pdf_words words = {"en", many, count, NULL};
        if (count == 2)
            ck_assert(pass(plain.bytes, plain.length, 100, &words));
        else
            expect_unchanged(plain.bytes, plain.length, &words);
    }
}
END_TEST

static const char *const foreign[] = {
    "",
    "%PDF-1.5\n",
    "startxref\n",
    "startxref\n0\n%%EOF\n",
    "startxref\n99999999999999999999\n%%EOF\n",
    "endstream\nendobj\n7 0 obj << /Type /XRef >> stream\nendstream\nendobj\nstartxref\n0\n%%EOF\n",
    "xref\n0 999999999\n0000000000 65535 f \ntrailer << >>\nstartxref\n0\n%%EOF\n",
    "xref\n0 1\n0000000000 65535 f \nstartxref\n0\n%%EOF\n",
    "xref\n0 1\n0000000000 65535 f \ntrailer << >>\nstartxref\n0\n%%EOF\n",
};

START_TEST(another_end_is_left_as_it_is)
{
    expect_unchanged(foreign[_i], strlen(foreign[_i]), &(struct pdf_words){.language = "en"});
}
END_TEST

/* A file that was cut off, or has a wrong byte, in what can be added to: no crash, and whatever is
   not understood is handed on. */
START_TEST(a_broken_end_does_no_harm)
{
    size_t last = 0;
    for (size_t i = 0; i + 9 < plain.length; i++)
        if (memcmp(plain.bytes + i, "endstream", 9) == 0)
            last = i;
    ck_assert_uint_gt(last, 0);
    for (size_t at = last; at < plain.length; at++) {
        char *broken = arena_copy_text(arena, plain.bytes, plain.length);
        if (at < plain.length - 8)
            expect_unchanged(broken, at, &two);
        static const char others[] = "09<>/ \0";
        broken[at] = others[at % (sizeof others - 1)];
        if (!pass(broken, plain.length, 1000, &two))
            expect_unchanged(broken, plain.length, &two);
    }
}
END_TEST

/* ---- and what is said of it --------------------------------------------------------------- */

static size_t warnings(void)
{
    static const char lesson[] = "exercises:\n  - {subdivision: eighths, sticking: RL}\n";
    struct pipeline work;
    pipeline_init(&work, (struct read_source){"lesson.yaml", lesson, strlen(lesson)});
    ck_assert(pipeline_run(&work, STAGE_LAYOUT));
    buffer_release(&out);
    ck_assert(pipeline_draw(&work, FORMAT_PDF, 0, keep, &out));
    size_t found = 0;
    for (size_t i = 0; i < diags_count(work.diags); i++)
        found += diags_get(work.diags, i)->code == DIAG_SCREEN_READER;
    pipeline_release(&work);
    return found;
}

START_TEST(a_pdf_without_its_words_is_a_warning)
{
    ck_assert_uint_eq(warnings(), 0);
    ck_assert(holds("/Alt (") && holds("/Lang (en)"));
    figure_tag = "Div";
    ck_assert_uint_eq(warnings(), 1);
    ck_assert(!holds("/Alt") && holds("%%EOF"));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("pdf_end");
    tcase_add_checked_fixture(cases, begin, end);
    tcase_add_test(cases, words_are_added_whatever_the_pieces);
    tcase_add_test(cases, other_white_space_makes_no_difference);
    tcase_add_test(cases, another_number_of_figures_leaves_the_file_as_it_is);
    tcase_add_loop_test(cases, another_end_is_left_as_it_is, 0,
                        (int)(sizeof foreign / sizeof *foreign));
    tcase_add_test(cases, a_broken_end_does_no_harm);
    tcase_add_test(cases, a_pdf_without_its_words_is_a_warning);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("pdf_end");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
