/* Each tests/stress/NAME.yaml is an extreme. It must be laid out without a fault, in plain metrics
   and in the real faces; its messages, and how its lines and pages are broken, are in
   NAME.expected. With REGEN in the environment that file is written again, to be judged. */
#include "audit.h"
#include "base/file.h"
#include "set_lesson.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FOLDER "tests/stress"

static void findings_add(const struct set_lesson *set, struct buffer *out)
{
    for (size_t i = 0; i < diags_count(set->diags); i++) {
        const struct diag *diag = diags_get(set->diags, i);
        ck_assert_int_ne(diag->severity, DIAG_SEVERITY_ERROR);
        buffer_format(out, "%u:%u: %s [%s]\n", diag->at.line, diag->at.column, diag->message,
                      diag_word(diag->code));
    }
}

static bool is_told(const struct set_lesson *set, const char *what)
{
    for (size_t i = 0; i < diags_count(set->diags); i++)
        if (strstr(diags_get(set->diags, i)->message, what))
            return true;
    return false;
}

/* If a bar is too wide even on the smallest staff, its ink overlaps: check only the page's edges.
 * Text may be small where a bar needs it. */
static size_t faults_of(const struct set_lesson *set, const struct audit *audit)
{
    if (is_told(set, "closer than it should be"))
        return audit->found[6];
    return audit_total(audit) - (is_told(set, "less than 7 points") ? audit->found[12] : 0);
}

static void audit_lesson(const char *path, struct set_lesson *set)
{
    struct audit audit = {0};
    struct outlines *outlines = set->faces ? outlines_open("fonts/Ratamark.otf") : NULL;
    struct audit_of of = {set->score, &set->metrics, outlines};
    for (uint32_t n = 1; n <= layout_page_count(set->layout); n++)
        audit_page(layout_page(set->layout, n), &of, &audit);
    ck_assert_msg(faults_of(set, &audit) == 0, "%s:\n%.2000s", path, buffer_text(&audit.report));
    audit_release(&audit);
    outlines_close(outlines);
}

static void lay_out(const char *path, const struct buffer *text, bool faces, struct buffer *out)
{
    struct set_lesson set;
    set_lesson_open(&set, path, buffer_text(text), text->length, NULL, faces);
    ck_assert_msg(set.layout, "%s has errors", path);
    audit_lesson(path, &set);
    if (out) {
        findings_add(&set, out);
        for (uint32_t n = 1; n <= layout_page_count(set.layout); n++)
            page_plan_dump(layout_page(set.layout, n), out);
    }
    set_lesson_close(&set);
}

static void write_expected(const char *path, const struct buffer *plan)
{
    struct file_output *output = file_output_open(path);
    ck_assert_ptr_nonnull(output);
    file_output_write(output, buffer_text(plan), plan->length);
    ck_assert(file_output_commit(output));
}

static void check_lesson(const char *name)
{
    char lesson[512], expected[512];
    struct buffer text = {0}, plan = {0}, wanted = {0};
    snprintf(lesson, sizeof lesson, FOLDER "/%s", name);
    snprintf(expected, sizeof expected, FOLDER "/%.*s.expected", (int)(strlen(name) - 5), name);
    ck_assert_msg(file_read(lesson, LESSON_BYTES_MAX, &text), "%s", lesson);
    lay_out(lesson, &text, false, &plan);
    lay_out(lesson, &text, true, NULL);
    if (getenv("REGEN"))
        write_expected(expected, &plan);
    ck_assert_msg(file_read(expected, (size_t)1 << 20, &wanted), "%s", expected);
    ck_assert_str_eq(buffer_text(&plan), buffer_text(&wanted));
    buffer_release(&text);
    buffer_release(&plan);
    buffer_release(&wanted);
}

START_TEST(extremes_are_laid_out_without_a_fault)
{
    ck_assert_int_ge(each_lesson(FOLDER, check_lesson), 9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stress");
    TCase *cases = tcase_create("lessons");
    tcase_set_timeout(cases, 120);
    tcase_add_test(cases, extremes_are_laid_out_without_a_fault);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
