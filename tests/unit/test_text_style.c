/* What kinds of text look like on paper (src/model/text_style.c), on every staff a lesson may ask
   for. */
#include "model/metrics.h"
#include "suite.h"

#include <check.h>

static double mm_on(double staff_mm, enum text_style style)
{
    return text_style_mm(style, staff_mm / 4, 1000);
}

static const double staves_mm[] = {3, 4, 5, 6, 7, 8, 10, 14, 20};

/* On small staves both have the least size: a grace's letter differs by its weight. */
START_TEST(a_graces_letter_is_never_taken_for_a_strokes)
{
    ck_assert_int_lt(text_style(TEXT_STICKING_GRACE)->weight, text_style(TEXT_STICKING)->weight);
    ck_assert(mm_on(staves_mm[_i], TEXT_STICKING_GRACE) <= mm_on(staves_mm[_i], TEXT_STICKING));
    ck_assert(mm_on(staves_mm[_i], TEXT_STICKING_GRACE) >= 7 * 25.4 / 72);
}
END_TEST

/* Such as "play 4 times" on a staff that was asked for so large that its bars do not fit a line. */
START_TEST(text_in_millimetres_does_not_shrink_with_a_staff)
{
    const struct text_style_row *row = text_style((enum text_style)_i);
    for (int size = 200; size <= 1000; size += 50) {
        double mm = text_style_mm((enum text_style)_i, 20 / 4.0, size) * size / 1000;
        ck_assert_double_ge_tol(mm, row->of_staff ? 7 * 25.4 / 72 : row->size, 1e-9);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("text style");
    TCase *cases = tcase_create("text style");
    tcase_add_loop_test(cases, a_graces_letter_is_never_taken_for_a_strokes, 0,
                        (int)(sizeof staves_mm / sizeof *staves_mm));
    tcase_add_loop_test(cases, text_in_millimetres_does_not_shrink_with_a_staff, 0,
                        TEXT_STYLE_COUNT);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
