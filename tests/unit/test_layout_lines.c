/* Line and page breaking equal brute force on every case small enough to try. */
#include "layout/layout_int.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

enum { ITEMS_MOST = 12, WIDTH = 90000 };

/* Every way to break: bit i of `breaks` set: a break after item i. */
static double lines_total(const struct line_bar *bars, size_t count, unsigned breaks)
{
    double total = 0;
    size_t first = 0;
    for (size_t i = 0; i < count; i++)
        if (i + 1 == count || breaks >> i & 1) {
            total += line_cost(bars, first, i + 1, count, WIDTH);
            first = i + 1;
        }
    return total;
}

static double pages_total(const struct block *blocks, size_t count, unsigned breaks)
{
    double total = 0;
    size_t first = 0;
    for (size_t i = 0; i < count; i++)
        if (i + 1 == count || breaks >> i & 1) {
            total += page_cost(blocks, first, i + 1, count, WIDTH);
            first = i + 1;
        }
    return total;
}

static unsigned breaks_of(const uint32_t *ends, size_t lines)
{
    unsigned breaks = 0;
    for (size_t k = 0; k + 1 < lines; k++)
        breaks |= 1u << (ends[k] - 1);
    return breaks;
}

START_TEST(no_way_to_break_lines_costs_less)
{
    srand(7);
    for (int round = 0; round < 400; round++) {
        struct line_bar bars[ITEMS_MOST];
        uint32_t ends[ITEMS_MOST];
        size_t count = 1 + (size_t)rand() % ITEMS_MOST;
        for (size_t i = 0; i < count; i++) {
            sp least = 4000 + rand() % (round % 10 ? 40000 : 120000);
            bars[i] = (struct line_bar){.natural = least + rand() % 30000,
                                        .least = least,
                                        .tightest = 500 + rand() % 500,
                                        .opening = 4000 + rand() % 4000,
                                        .between = 200 + rand() % 2000,
                                        .ending = 200 + rand() % 2000};
        }
        size_t lines = lines_break(bars, count, WIDTH, 0, ends);
        double best = INFINITY;
        for (unsigned breaks = 0; breaks < 1u << (count - 1); breaks++)
            best = fmin(best, lines_total(bars, count, breaks));
        ck_assert_uint_eq(ends[lines - 1], count);
        ck_assert_double_eq_tol(lines_total(bars, count, breaks_of(ends, lines)), best,
                                1e-6 * best);
    }
}
END_TEST

START_TEST(no_way_to_break_pages_costs_less)
{
    srand(8);
    for (int round = 0; round < 400; round++) {
        struct block blocks[ITEMS_MOST];
        uint32_t ends[ITEMS_MOST];
        size_t count = 1 + (size_t)rand() % ITEMS_MOST;
        for (size_t i = 0; i < count; i++)
            blocks[i] = (struct block){.before = (uint8_t)(rand() % 4),
                                       .top = -(rand() % 20000),
                                       .bottom = 1 + rand() % 20000,
                                       .grows = rand() % 2,
                                       .gap = rand() % 6000};
        size_t pages = blocks_break(blocks, count, WIDTH, ends);
        double best = INFINITY;
        for (unsigned breaks = 0; breaks < 1u << (count - 1); breaks++)
            best = fmin(best, pages_total(blocks, count, breaks));
        ck_assert_double_eq_tol(pages_total(blocks, count, breaks_of(ends, pages)), best,
                                1e-6 * best);
    }
}
END_TEST

START_TEST(bars_per_line_overrides)
{
    struct line_bar bars[7];
    uint32_t ends[7];
    for (size_t i = 0; i < 7; i++)
        bars[i] = (struct line_bar){20000, 15000, 6000, 160, 160, 500};
    ck_assert_uint_eq(lines_break(bars, 7, WIDTH, 2, ends), 4);
    ck_assert_uint_eq(ends[0], 2);
    ck_assert_uint_eq(ends[3], 7);
}
END_TEST

START_TEST(a_heading_keeps_its_first_line)
{
    struct block blocks[] = {
        {.before = BREAK_FREE, .bottom = 60000},
        {.before = BREAK_FREE, .bottom = 10000, .gap = 5000}, /* heading: would fit */
        {.before = BREAK_NEVER, .bottom = 20000, .gap = 2000},
    };
    uint32_t ends[3];
    ck_assert_uint_eq(blocks_break(blocks, 3, WIDTH, ends), 2);
    ck_assert_uint_eq(ends[0], 1);
}
END_TEST

START_TEST(a_bar_wider_than_a_line_stands_alone)
{
    struct line_bar bars[] = {{20000, 15000, 6000, 160, 160, 500},
                              {120000, 110000, 6000, 160, 160, 500},
                              {20000, 15000, 6000, 160, 160, 500}};
    uint32_t ends[3];
    ck_assert_uint_eq(lines_break(bars, 3, WIDTH, 0, ends), 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout lines");
    TCase *cases = tcase_create("breaking");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, no_way_to_break_lines_costs_less);
    tcase_add_test(cases, no_way_to_break_pages_costs_less);
    tcase_add_test(cases, bars_per_line_overrides);
    tcase_add_test(cases, a_heading_keeps_its_first_line);
    tcase_add_test(cases, a_bar_wider_than_a_line_stands_alone);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
