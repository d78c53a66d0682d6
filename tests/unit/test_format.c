/* The registry of formats: that it is complete, and that a fault planted in it is seen. */
#include "model/format.h"
#include "suite.h"

#include <check.h>
#include <string.h>
#include <strings.h>

static struct buffer out;

static void begin(void)
{
    out = (struct buffer){0};
}

static void finish(void)
{
    buffer_release(&out);
}

static bool is_filled(const struct format_row *row)
{
    return row->word && *row->word && row->ending && *row->ending && row->title && *row->title &&
           row->from && row->files && row->bytes && row->commands;
}

/* Whether two formats of one command have the same word, or two formats of a lesson the same
   ending. */
static bool is_double(const struct format_row *row, const struct format_row *other)
{
    bool of_lesson = row->from != FORMAT_FROM_COURSE && other->from != FORMAT_FROM_COURSE;
    return row->commands & other->commands &&
           (strcmp(row->word, other->word) == 0 ||
            (of_lesson && strcasecmp(row->ending, other->ending) == 0));
}

static bool row_has_fault(const struct format_row *rows, size_t i, struct buffer *problem)
{
    const struct format_row *row = &rows[i];
    const char *word = row->word ? row->word : "";
    if (!is_filled(row))
        buffer_format(problem, "row %zu ('%s') has an empty column", i, word);
    else if (row->ending[0] != '.')
        buffer_format(problem, "row %zu ('%s'): the ending '%s' has no dot in front", i, word,
                      row->ending);
    for (size_t j = 1; j < i && problem->length == 0; j++)
        if (is_double(row, &rows[j]))
            buffer_format(problem, "row %zu ('%s') has the word or ending of row %zu ('%s')", i,
                          word, j, rows[j].word);
    return problem->length > 0;
}

/* Names the first mistake in rows; false if there is none. */
static bool find_fault(const struct format_row *rows, size_t count, struct buffer *problem)
{
    for (size_t i = 1; i < count; i++)
        if (row_has_fault(rows, i, problem))
            return true;
    return false;
}

START_TEST(the_registry_has_no_fault)
{
    ck_assert_msg(!find_fault(format_rows, FORMAT_COUNT, &out), "%s", buffer_text(&out));
    ck_assert_int_gt(FORMAT_COUNT, 10);
}
END_TEST

/* A right row, and the same with one fault. */
#define RIGHT                                                                                      \
    {                                                                                              \
        "brf", ".brf", "braille", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE,             \
            FORMAT_BY_ENGRAVE                                                                      \
    }

static const struct {
    struct format_row row;
    const char *problem;
} planted[] = {
    {{0}, "row 2 ('') has an empty column"},
    {{"", ".x", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('') has an empty column"},
    {{"x", "", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('x') has an empty column"},
    {{"x", ".x", NULL, FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('x') has an empty column"},
    {{"x", ".x", "x", 0, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('x') has an empty column"},
    {{"x", ".x", "x", FORMAT_FROM_SCORE, 0, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('x') has an empty column"},
    {{"x", ".x", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, 0, FORMAT_BY_ENGRAVE},
     "row 2 ('x') has an empty column"},
    {{"x", ".x", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, 0},
     "row 2 ('x') has an empty column"},
    {{"x", "x", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('x'): the ending 'x' has no dot in front"},
    {{"brf", ".x", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('brf') has the word or ending of row 1 ('brf')"},
    {{"x", ".BRF", "x", FORMAT_FROM_SCORE, FORMAT_ONE_FILE, FORMAT_READABLE, FORMAT_BY_ENGRAVE},
     "row 2 ('x') has the word or ending of row 1 ('brf')"},
};

START_TEST(a_planted_fault_is_named)
{
    struct format_row rows[] = {{0}, RIGHT, planted[_i].row};
    ck_assert_msg(find_fault(rows, 3, &out), "fault %d is not seen", _i);
    ck_assert_str_eq(buffer_text(&out), planted[_i].problem);
}
END_TEST

/* What another command makes may have the same ending; only in a course is a booklet a PDF, too. */
START_TEST(rows_of_other_commands_do_not_clash)
{
    struct format_row rows[] = {{0},
                                RIGHT,
                                {"other", ".brf", "other", FORMAT_FROM_SCORE, FORMAT_ONE_FILE,
                                 FORMAT_READABLE, FORMAT_BY_COURSE},
                                {"whole", ".brf", "whole", FORMAT_FROM_COURSE, FORMAT_ONE_FILE,
                                 FORMAT_READABLE, FORMAT_BY_COURSE}};
    ck_assert_msg(!find_fault(rows, 4, &out), "%s", buffer_text(&out));
}
END_TEST

START_TEST(formats_are_found_by_word_and_ending)
{
    ck_assert_int_eq(format_of_word("text", FORMAT_BY_ENGRAVE), FORMAT_TEXT);
    ck_assert_int_eq(format_of_ending(".TXT", FORMAT_BY_ENGRAVE), FORMAT_TEXT);
    ck_assert_int_eq(format_of_ending(".mid", FORMAT_BY_SOUND), FORMAT_MIDI);
    ck_assert_int_eq(format_of_ending(".mid", FORMAT_BY_ENGRAVE), FORMAT_NONE);
    ck_assert_int_eq(format_of_ending("", FORMAT_BY_ENGRAVE), FORMAT_NONE);
    ck_assert_int_eq(format_of_word("pd", FORMAT_BY_ENGRAVE), FORMAT_NONE);
}
END_TEST

static size_t count_of(unsigned commands)
{
    size_t count = 0;
    for (size_t i = 0; i < FORMAT_COUNT; i++)
        count += (format_rows[i].commands & commands) != 0;
    return count;
}

static bool skip(const char **text, const char *expected)
{
    size_t length = strlen(expected);
    bool found = strncmp(*text, expected, length) == 0;
    *text += found ? length : 0;
    return found;
}

/* Every row of a command, in order, with "or" before the last one only. */
START_TEST(formats_are_listed)
{
    const char *rest;
    format_list_endings(&out, FORMAT_BY_SOUND, ", ", " or ");
    rest = buffer_text(&out);
    for (size_t left = count_of(FORMAT_BY_SOUND), i = 0; i < FORMAT_COUNT; i++) {
        const char *ending = format_rows[i].ending;
        if (!(format_rows[i].commands & FORMAT_BY_SOUND))
            continue;
        const char *after = --left > 1 ? ", " : left ? " or " : "";
        ck_assert_msg(skip(&rest, ending) && skip(&rest, after), "'%s', then '%s', in '%s'", ending,
                      after, buffer_text(&out));
    }
    ck_assert_str_eq(rest, "");
}
END_TEST

START_TEST(files_are_named_by_page)
{
    struct arena *arena = arena_new();
    ck_assert_uint_eq(format_file_count(FORMAT_PDF, 3), 1);
    ck_assert_uint_eq(format_file_count(FORMAT_SVG, 3), 3);
    ck_assert_str_eq(format_file_name(FORMAT_PDF, "week/fill", 0, 1, arena), "week/fill.pdf");
    ck_assert_str_eq(format_file_name(FORMAT_SVG, "week/fill", 1, 3, arena), "week/fill-2.svg");
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("format");
    TCase *tests = tcase_create("format");
    tcase_add_checked_fixture(tests, begin, finish);
    tcase_add_test(tests, the_registry_has_no_fault);
    tcase_add_loop_test(tests, a_planted_fault_is_named, 0, sizeof planted / sizeof *planted);
    tcase_add_test(tests, rows_of_other_commands_do_not_clash);
    tcase_add_test(tests, formats_are_found_by_word_and_ending);
    tcase_add_test(tests, formats_are_listed);
    tcase_add_test(tests, files_are_named_by_page);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
