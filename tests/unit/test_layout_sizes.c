/* The lessons of the course come out equally well on A4 and on letter paper: as many pages, none
   worse filled than on the other, all well filled where they are several, no line or ladder left
   alone. (That no heading is, the audit sees.) The lesson that is to fit one page has its staff
   from the command, not from here: tests/cli/test_fit.sh. */
#include "base/file.h"
#include "model/lesson.h"
#include "set_lesson.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>

static struct buffer plan; /* of both sizes, printed if the test fails */

struct outcome {
    uint32_t pages;
    int worst; /* enum page_fullness */
    bool lone;
};

static struct outcome look(struct set_lesson *set, enum page_size size)
{
    struct page_settings page = *set->score->lesson->settings.page;
    const struct page_settings *own = set->score->lesson->settings.page;
    struct lesson *lesson = (struct lesson *)set->score->lesson;
    page.size = size;
    lesson->settings.page = &page;
    struct layout *layout =
        layout_new(set->score, &set->metrics, (struct layout_options){0}, set->diags);
    struct outcome outcome = {.pages = layout_page_count(layout)};
    for (uint32_t n = 1; n <= outcome.pages; n++) {
        const struct page *made = layout_page(layout, n);
        page_plan_dump(made, &plan);
        if (made->fill.fullness > outcome.worst)
            outcome.worst = made->fill.fullness;
        outcome.lone |= made->fill.lone_first || made->fill.lone_last;
    }
    layout_free(layout);
    lesson->settings.page = own;
    return outcome;
}

static void check_lesson(const char *name)
{
    char path[512];
    struct buffer text = {0};
    struct set_lesson set;
    snprintf(path, sizeof path, "examples/%s", name);
    ck_assert(file_read(path, LESSON_BYTES_MAX, &text));
    set_lesson_open(&set, path, buffer_text(&text), text.length, "examples/course.yaml", true);
    ck_assert_ptr_nonnull(set.layout);
    plan.length = 0;
    if (set.score->lesson->settings.page->fit_one) {
        set_lesson_close(&set);
        buffer_release(&text);
        return;
    }
    struct outcome a4 = look(&set, PAGE_A4), letter = look(&set, PAGE_LETTER);
    ck_assert_msg(a4.pages == letter.pages, "%s: %u pages and %u\n%s", path, a4.pages, letter.pages,
                  buffer_text(&plan));
    ck_assert_msg(a4.worst == letter.worst, "%s\n%s", path, buffer_text(&plan));
    ck_assert_msg(a4.worst == PAGE_EVEN || a4.pages == 1, "%s\n%s", path, buffer_text(&plan));
    ck_assert_msg(!a4.lone && !letter.lone, "%s\n%s", path, buffer_text(&plan));
    set_lesson_close(&set);
    buffer_release(&text);
}

START_TEST(the_course_is_as_good_on_either_paper)
{
    ck_assert_int_ge(each_lesson("examples", check_lesson), 14);
    buffer_release(&plan);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout sizes");
    TCase *cases = tcase_create("paper");
    tcase_set_timeout(cases, 120);
    tcase_add_test(cases, the_course_is_as_good_on_either_paper);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
