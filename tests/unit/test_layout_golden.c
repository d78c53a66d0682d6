/* Each tests/golden/layout/NAME.yaml, set with plain metrics, gives the marks of NAME.expected.
   With REGEN in the environment the expectations are written again, for a person to judge. */
#include "base/file.h"
#include "set_lesson.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FOLDER "tests/golden/layout"

static void dump_lesson(const char *path, struct buffer *out)
{
    struct buffer text = {0};
    struct set_lesson set;
    ck_assert_msg(file_read(path, LESSON_BYTES_MAX, &text), "%s", path);
    set_lesson_open(&set, path, buffer_text(&text), text.length, NULL, false);
    for (size_t i = 0; i < diags_count(set.diags); i++) {
        const struct diag *diag = diags_get(set.diags, i);
        if (diag->severity == DIAG_SEVERITY_ERROR)
            ck_abort_msg("%s:%u: %s", path, diag->at.line, diag->message);
    }
    for (uint32_t n = 1; n <= layout_page_count(set.layout); n++)
        page_dump(layout_page(set.layout, n), fake_label_text, set.fake, out);
    set_lesson_close(&set);
    buffer_release(&text);
}

static void write_expected(const char *path, const struct buffer *dump)
{
    struct file_output *output = file_output_open(path);
    ck_assert_ptr_nonnull(output);
    file_output_write(output, buffer_text(dump), dump->length);
    ck_assert(file_output_commit(output));
}

/* The first line that differs says more than two whole pages. */
static void compare(const char *path, const char *got, const char *wanted)
{
    unsigned line = 1;
    const char *got_line = got, *wanted_line = wanted;
    for (; *got && *got == *wanted; got++, wanted++)
        if (*got == '\n') {
            line++;
            got_line = got + 1;
            wanted_line = wanted + 1;
        }
    ck_assert_msg(*got == *wanted, "%s:%u: got '%.*s', expected '%.*s'", path, line,
                  (int)strcspn(got_line, "\n"), got_line, (int)strcspn(wanted_line, "\n"),
                  wanted_line);
}

static void check_lesson(const char *name)
{
    char lesson[512], expected[512];
    snprintf(lesson, sizeof lesson, FOLDER "/%s", name);
    snprintf(expected, sizeof expected, FOLDER "/%.*s.expected", (int)(strlen(name) - 5), name);
    struct buffer dump = {0}, wanted = {0};
    dump_lesson(lesson, &dump);
    if (getenv("REGEN"))
        write_expected(expected, &dump);
    ck_assert_msg(file_read(expected, (size_t)1 << 24, &wanted), "%s", expected);
    compare(expected, buffer_text(&dump), buffer_text(&wanted));
    buffer_release(&dump);
    buffer_release(&wanted);
}

START_TEST(lessons_give_the_marks_that_are_expected)
{
    ck_assert_int_ge(each_lesson(FOLDER, check_lesson), 10);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout golden");
    TCase *cases = tcase_create("golden");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, lessons_give_the_marks_that_are_expected);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
