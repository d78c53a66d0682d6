/* Springs: exact to the margin, longer than their rods, equal naturals equal where nothing pushes.
   Where rods come from: test_rods.c. */
#include "layout/springs.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

static double total(const struct spring *springs, size_t count, struct setting setting)
{
    double length = 0;
    for (size_t i = 0; i < count; i++)
        length += spring_length(&springs[i], setting);
    return length;
}

START_TEST(springs_without_rods_share_in_proportion)
{
    struct spring springs[] = {{100, 0, 0}, {200, 0, 0}, {100, 0, 0}};
    struct setting setting = springs_solve(springs, 3, 800);
    ck_assert_double_eq_tol(spring_length(&springs[0], setting), 200, 1e-9);
    ck_assert_double_eq_tol(spring_length(&springs[1], setting), 400, 1e-9);
}
END_TEST

START_TEST(a_rod_takes_its_length_and_the_rest_share)
{
    struct spring springs[] = {{100, 500, 0}, {100, 0, 0}, {100, 0, 0}};
    struct setting setting = springs_solve(springs, 3, 900);
    ck_assert_double_eq_tol(spring_length(&springs[0], setting), 500, 1e-9);
    ck_assert_double_eq_tol(spring_length(&springs[1], setting), 200, 1e-9);
}
END_TEST

START_TEST(rods_wider_than_the_line_are_squeezed_alike)
{
    struct spring springs[] = {{100, 500, 0}, {100, 300, 0}};
    struct setting setting = springs_solve(springs, 2, 400);
    ck_assert_double_eq_tol(spring_length(&springs[0], setting), 250, 1e-9);
    ck_assert_double_eq_tol(spring_length(&springs[1], setting), 150, 1e-9);
}
END_TEST

/* Bisection of the same rising function is the independent way to the stretch. */
static double bisect(const struct spring *springs, size_t count, double space)
{
    double low = 0, high = 1e6;
    for (int i = 0; i < 200; i++) {
        double middle = (low + high) / 2;
        if (total(springs, count, (struct setting){middle, 1, false}) < space)
            low = middle;
        else
            high = middle;
    }
    return low;
}

START_TEST(any_springs_fill_their_space_exactly)
{
    srand(1);
    for (int round = 0; round < 2000; round++) {
        struct spring springs[40];
        size_t count = 1 + (size_t)rand() % 40;
        double rods = 0;
        for (size_t i = 0; i < count; i++) {
            springs[i] = (struct spring){1 + rand() % 5000, rand() % 3000, 0};
            rods += springs[i].rod;
        }
        double space = rods + 1 + rand() % 100000;
        struct setting setting = springs_solve(springs, count, space);
        ck_assert_double_eq_tol(total(springs, count, setting), space, 1e-6);
        ck_assert_double_eq_tol(setting.stretch, bisect(springs, count, space), 1e-6);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout spacing");
    TCase *cases = tcase_create("springs");
    tcase_add_test(cases, springs_without_rods_share_in_proportion);
    tcase_add_test(cases, a_rod_takes_its_length_and_the_rest_share);
    tcase_add_test(cases, rods_wider_than_the_line_are_squeezed_alike);
    tcase_add_test(cases, any_springs_fill_their_space_exactly);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
