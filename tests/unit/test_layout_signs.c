/* The signs of a page that more than one line, bar or note shares: one idea a case, set with plain
   metrics. */
#include "shown_page.h"

#include <check.h>
#include <stdlib.h>

#define TWO_A_LINE "page: {bars-per-line: 2}\nexercises:\n  - title: Try\n"

/* ---- dynamics ----------------------------------------------------------------------------- */

/* The mouth of a hairpin's part at its left and right end: its two lines lie one after the other.
 */
static sp mouth(size_t part, bool right)
{
    const struct mark *upper = mark_of(ROLE_HAIRPIN, 2 * part);
    const struct mark *lower = mark_of(ROLE_HAIRPIN, 2 * part + 1);
    return right ? lower->as.span.to.y - upper->as.span.to.y
                 : lower->as.span.from.y - upper->as.span.from.y;
}

/* Gould 2011, Hairpins over a break (from memory): each part is a hairpin of its own, and the
   second begins open. */
START_TEST(a_hairpin_goes_on_in_the_next_line)
{
    open_lesson(TWO_A_LINE "    subdivision: eighths\n    sticking: RL\n    bars: 4\n"
                           "    dynamics: {2:1: p, 2:2: cresc, 3:3: f}\n");
    ck_assert_uint_eq(page->system_count, 2);
    ck_assert_uint_eq(count_of(ROLE_HAIRPIN), 4);
    ck_assert_int_eq(mouth(0, false), 0);
    ck_assert_int_gt(mouth(0, true), 0);
    ck_assert_int_gt(mouth(1, false), 0);
    ck_assert_int_gt(mouth(1, true), mouth(0, true));
    ck_assert_int_lt(mark_of(ROLE_HAIRPIN, 2)->box.right, mark_of(ROLE_DYNAMIC, 1)->box.left);
}
END_TEST

START_TEST(a_hairpin_up_to_the_next_line_ends_with_its_own)
{
    open_lesson(TWO_A_LINE "    subdivision: eighths\n    sticking: RL\n    bars: 4\n"
                           "    dynamics: {1:1: f, 1:2: dim, 3:1: p}\n");
    ck_assert_uint_eq(count_of(ROLE_HAIRPIN), 2);
    ck_assert_int_gt(mouth(0, false), 0);
    ck_assert_int_eq(mouth(0, true), 0);
}
END_TEST

START_TEST(a_swell_that_leads_nowhere_is_a_word)
{
    open_lesson(TWO_A_LINE "    subdivision: eighths\n    sticking: RL\n    bars: 4\n"
                           "    dynamics: {1:1: f, 1:2: dim}\n");
    ck_assert_uint_eq(count_of(ROLE_HAIRPIN), 0);
    ck_assert_str_eq(texts_of(ROLE_DYNAMIC), "dim.");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout signs");
    TCase *cases = tcase_create("signs");
    tcase_add_checked_fixture(cases, NULL, teardown);
    tcase_add_test(cases, a_hairpin_goes_on_in_the_next_line);
    tcase_add_test(cases, a_hairpin_up_to_the_next_line_ends_with_its_own);
    tcase_add_test(cases, a_swell_that_leads_nowhere_is_a_word);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
