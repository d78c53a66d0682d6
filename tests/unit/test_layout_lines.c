/* Line and page breaking equal brute force on every case small enough to try. */
#include "layout/house.h"
#include "layout/lines.h"
#include "layout/pages.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

enum { ITEMS_MOST = 12, WIDTH = 90000 };

static struct line_bar a_bar(sp natural, bool opens)
{
    return (struct line_bar){.notes = {natural, 15000, 500, 12000},
                             .opening = 6000,
                             .between = 160,
                             .ending = 160,
                             .opens = opens};
}

/* Every way to break: bit i of `breaks` set: a break after item i. */
static double lines_total(const struct line_bar *bars, size_t count, unsigned breaks)
{
    double total = 0;
    size_t before = 0, first = 0;
    struct line_fit last = {0};
    for (size_t i = 0; i < count; i++)
        if (i + 1 == count || breaks >> i & 1) {
            struct line_fit fit = line_fit(bars, first, i + 1, count, WIDTH);
            struct line_pair pair = {before, first, i + 1, count, last.density, fit.density};
            total += fit.cost + (first ? line_pair_cost(&pair) : 0);
            before = first;
            first = i + 1;
            last = fit;
        }
    return total;
}

/* Every way to break pages: bit i of `breaks` a break after block i, of `pairs` choice i taken. */
static double pages_total(const struct page_matter *matter, unsigned breaks, unsigned pairs)
{
    bool taken[ITEMS_MOST] = {false};
    double total = 0;
    size_t first = 0, free = 0; /* the block that no pair holds any more */
    for (size_t c = 0; c < matter->choice_count; c++) {
        const struct choice *choice = &matter->choices[c];
        taken[c] = pairs >> c & 1;
        if (!taken[c])
            continue;
        if (choice->first < free)
            return INFINITY;
        free = choice->end;
        for (uint32_t i = choice->first; i + 1 < choice->end; i++)
            if (breaks >> i & 1)
                return INFINITY;
    }
    for (size_t i = 0; i < matter->count; i++)
        if (i + 1 == matter->count || breaks >> i & 1) {
            total += page_cost(matter, taken, first, i + 1);
            first = i + 1;
        }
    return total;
}

static unsigned pairs_of(const struct page_matter *matter, const bool *taken)
{
    unsigned pairs = 0;
    for (size_t c = 0; c < matter->choice_count; c++)
        pairs |= taken[c] ? 1u << c : 0;
    return pairs;
}

static double least_pages(const struct page_matter *matter)
{
    double best = INFINITY;
    for (unsigned pairs = 0; pairs < 1u << matter->choice_count; pairs++)
        for (unsigned breaks = 0; breaks < 1u << (matter->count - 1); breaks++)
            best = fmin(best, pages_total(matter, breaks, pairs));
    return best;
}

static struct block some_block(int height)
{
    struct block block = {.before = (uint8_t)(rand() % 5),
                          .top = -(rand() % height),
                          .bottom = 1 + rand() % height,
                          .gap = rand() % 6000};
    if (rand() % 2) {
        block.growth = rand() % 9000;
        block.shrink = block.gap / 2;
    }
    return block;
}

static unsigned breaks_of(const uint32_t *ends, size_t lines)
{
    unsigned breaks = 0;
    for (size_t k = 0; k + 1 < lines; k++)
        breaks |= 1u << (ends[k] - 1);
    return breaks;
}

static bool begin_lines(const struct line_bar *bars, size_t count, unsigned breaks)
{
    for (size_t i = 1; i < count; i++)
        if (bars[i].opens && !(breaks >> (i - 1) & 1))
            return false;
    return true;
}

/* Signs of one or two bars, as wide as these at most; a coda is not repeated. */
static void add_signs(struct line_bar *bars, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        size_t whole = 1 + (size_t)rand() % 2;
        if (rand() % 3 == 0 || i + whole > count || (whole == 2 && bars[i + 1].opens))
            continue;
        sp width = 3000 + rand() % (int)(bars[i].notes.rods - 3000 + 1);
        bars[i].sign = (uint8_t)whole;
        bars[i].as_sign = (struct bar_length){width, width, 500, width};
        i += whole - 1;
    }
}

/* No line begins with a sign, and of two bars either both are in a sign or neither. */
START_TEST(a_line_begins_with_notes)
{
    struct line_bar bars[5];
    for (size_t i = 0; i < 5; i++)
        bars[i] = a_bar(20000, false);
    bars[1].sign = 1;
    bars[2].sign = 2;
    ck_assert_uint_eq(line_sign(bars, 1, 0, 5), 1);
    ck_assert_uint_eq(line_sign(bars, 1, 1, 5), 0);
    ck_assert_uint_eq(line_sign(bars, 2, 1, 5), 2);
    ck_assert_uint_eq(line_sign(bars, 2, 1, 3), 0);
    ck_assert_uint_eq(line_sign(bars, 3, 3, 5), 0);
    ck_assert_double_eq(line_shortest(bars, 1, 5), 15000 + 15000);
    ck_assert_double_eq(line_shortest(bars, 2, 5), 3 * 15000);
    ck_assert_double_eq(line_shortest(bars, 0, 3), 2 * 15000);
}
END_TEST

START_TEST(no_way_to_break_lines_costs_less)
{
    srand(7);
    for (int round = 0; round < 400; round++) {
        struct line_bar bars[ITEMS_MOST];
        uint32_t ends[ITEMS_MOST];
        size_t count = 1 + (size_t)rand() % ITEMS_MOST;
        for (size_t i = 0; i < count; i++) {
            sp least = 4000 + rand() % (round % 10 ? 40000 : 120000);
            bars[i] = (struct line_bar){.notes = {.natural = least + rand() % 30000,
                                                  .least = least,
                                                  .tightest = 500 + rand() % 500,
                                                  .rods = least - rand() % 4000},
                                        .opening = 4000 + rand() % 4000,
                                        .between = 200 + rand() % 2000,
                                        .ending = 200 + rand() % 2000,
                                        .opens = i > 0 && rand() % 8 == 0};
        }
        if (round % 2)
            add_signs(bars, count);
        size_t lines = lines_break(bars, count, WIDTH, 0, false, ends);
        double best = INFINITY;
        for (unsigned breaks = 0; breaks < 1u << (count - 1); breaks++)
            best = fmin(best, lines_total(bars, count, breaks));
        ck_assert_uint_eq(ends[lines - 1], count);
        ck_assert(begin_lines(bars, count, breaks_of(ends, lines)));
        ck_assert_double_eq_tol(lines_total(bars, count, breaks_of(ends, lines)), best,
                                1e-6 * fabs(best));
    }
}
END_TEST

START_TEST(no_way_to_break_pages_costs_less)
{
    srand(8);
    for (int round = 0; round < 400; round++) {
        struct block blocks[ITEMS_MOST];
        struct page_matter matter = {
            .blocks = blocks, .height = WIDTH, .page_cost = HOUSE_COST_PAGE};
        uint32_t ends[ITEMS_MOST];
        matter.count = 1 + (size_t)rand() % ITEMS_MOST;
        for (size_t i = 0; i < matter.count; i++)
            blocks[i] = some_block(round % 8 ? 20000 : 60000);
        size_t pages = pages_find(&matter, ends, NULL);
        double best = least_pages(&matter);
        ck_assert_double_eq_tol(pages_total(&matter, breaks_of(ends, pages), 0), best,
                                1e-6 * fabs(best));
    }
}
END_TEST

/* With exercises that may stand side by side, overlapping offers too, all arrangements are tried
   with all breaks. */
START_TEST(no_arrangement_of_pages_costs_less)
{
    enum { BLOCKS = 9 };
    size_t all_pairs = 0;
    srand(9);
    for (int round = 0; round < 400; round++) {
        struct block blocks[BLOCKS];
        struct choice choices[BLOCKS];
        bool taken[BLOCKS];
        uint32_t ends[BLOCKS];
        struct page_matter matter = {.blocks = blocks,
                                     .choices = choices,
                                     .height = WIDTH,
                                     .page_cost =
                                         round % 4 ? HOUSE_COST_PAGE : HOUSE_COST_PAGE_FIT};
        matter.count = 3 + (size_t)rand() % (BLOCKS - 2);
        for (size_t i = 0; i < matter.count; i++)
            blocks[i] = some_block(20000);
        for (size_t i = 0; i + 2 <= matter.count; i++) {
            size_t end = i + 2 + (size_t)rand() % 3;
            if (rand() % 2 && end <= matter.count)
                choices[matter.choice_count++] = (struct choice){.first = (uint32_t)i,
                                                                 .end = (uint32_t)end,
                                                                 .duo = some_block(25000),
                                                                 .cost = rand() % 1000 - 400};
        }
        for (size_t c = 0; c < matter.choice_count; c++)
            choices[c].duo.before = blocks[choices[c].first].before;
        size_t pages = pages_find(&matter, ends, taken);
        unsigned pairs = pairs_of(&matter, taken);
        double best = least_pages(&matter);
        ck_assert_double_eq_tol(pages_total(&matter, breaks_of(ends, pages), pairs), best,
                                1e-6 * fabs(best));
        for (; pairs; pairs &= pairs - 1)
            all_pairs++;
    }
    ck_assert_uint_gt(all_pairs, 200);
}
END_TEST

/* Not some but all: four blocks of three heights, before the last three of them three kinds of
   break, and each choice of the pairs that may be offered. */
START_TEST(no_small_lesson_is_broken_worse_than_it_could_be)
{
    enum { BLOCKS = 4, HEIGHTS = 3 * 3 * 3 * 3, BREAKS = 3 * 3 * 3, OFFERS = 8 };
    static const sp heights[] = {WIDTH / 4, WIDTH * 9 / 20, WIDTH * 7 / 10};
    static const uint8_t breaks[] = {BREAK_FREE, BREAK_LONE_LAST, BREAK_NEVER};
    for (int n = 0; n < HEIGHTS * BREAKS * OFFERS; n++) {
        struct block blocks[BLOCKS] = {{0}};
        struct choice choices[BLOCKS - 1];
        struct page_matter matter = {.blocks = blocks,
                                     .count = BLOCKS,
                                     .choices = choices,
                                     .height = WIDTH,
                                     .page_cost = HOUSE_COST_PAGE};
        for (int i = 0, h = n % HEIGHTS, b = n / HEIGHTS % BREAKS; i < BLOCKS; i++, h /= 3) {
            blocks[i] = (struct block){
                .bottom = heights[h % 3], .gap = 3000, .growth = 4500, .shrink = 1400};
            if (i > 0) {
                blocks[i].before = breaks[b % 3];
                b /= 3;
            }
        }
        for (uint32_t i = 0; i + 1 < BLOCKS; i++)
            if (n / HEIGHTS / BREAKS >> i & 1) {
                struct choice *choice = &choices[matter.choice_count++];
                *choice = (struct choice){i, i + 2, blocks[i], i == 1 ? HOUSE_COST_TWINS : 150};
                choice->duo.bottom = blocks[i].bottom + WIDTH / 20;
            }
        bool taken[BLOCKS];
        uint32_t ends[BLOCKS];
        size_t pages = pages_find(&matter, ends, taken);
        double best = least_pages(&matter);
        double got = pages_total(&matter, breaks_of(ends, pages), pairs_of(&matter, taken));
        ck_assert_msg(fabs(got - best) <= 1e-6 * fabs(best), "lesson %d: %g, not %g", n, got, best);
    }
}
END_TEST

START_TEST(bars_per_line_overrides)
{
    struct line_bar bars[7];
    uint32_t ends[7];
    for (size_t i = 0; i < 7; i++)
        bars[i] = a_bar(20000, false);
    ck_assert_uint_eq(lines_break(bars, 7, WIDTH, 2, false, ends), 4);
    ck_assert_uint_eq(ends[0], 2);
    ck_assert_uint_eq(ends[3], 7);
    ck_assert_uint_eq(lines_break(bars, 7, WIDTH, 2, true, ends), 3);
    ck_assert_uint_eq(ends[0], 3);
    ck_assert_uint_eq(ends[2], 7);
}
END_TEST

START_TEST(a_coda_begins_a_line_whatever_is_asked_for)
{
    struct line_bar bars[7];
    uint32_t ends[7];
    for (size_t i = 0; i < 7; i++)
        bars[i] = a_bar(20000, i == 3);
    ck_assert_uint_eq(lines_break(bars, 7, WIDTH, 2, false, ends), 4);
    ck_assert_uint_eq(ends[1], 3);
    ck_assert_uint_eq(ends[2], 5);
}
END_TEST

START_TEST(a_heading_keeps_its_first_line)
{
    struct block blocks[] = {
        {.before = BREAK_FREE, .bottom = 60000},
        {.before = BREAK_FREE, .bottom = 10000, .gap = 5000}, /* heading: would fit */
        {.before = BREAK_NEVER, .bottom = 20000, .gap = 2000},
    };
    struct page_matter matter = {
        .blocks = blocks, .count = 3, .height = WIDTH, .page_cost = HOUSE_COST_PAGE};
    uint32_t ends[3];
    ck_assert_uint_eq(pages_find(&matter, ends, NULL), 2);
    ck_assert_uint_eq(ends[0], 1);
}
END_TEST

/* Four lines of an exercise, of which three fit: two and two. */
START_TEST(no_last_line_stands_alone)
{
    struct block blocks[] = {
        {.bottom = 25000},
        {.before = BREAK_LONE_FIRST, .bottom = 25000, .gap = 3000},
        {.before = BREAK_IN_EXERCISE, .bottom = 25000, .gap = 3000},
        {.before = BREAK_LONE_LAST, .bottom = 25000, .gap = 3000},
    };
    struct page_matter matter = {
        .blocks = blocks, .count = 4, .height = WIDTH, .page_cost = HOUSE_COST_PAGE};
    uint32_t ends[4];
    ck_assert_uint_eq(pages_find(&matter, ends, NULL), 2);
    ck_assert_uint_eq(ends[0], 2);
}
END_TEST

/* Ten exercises, of which eight fill a page: five and five, not eight and two. */
START_TEST(the_last_page_shares_with_the_one_before_it)
{
    struct block blocks[10];
    for (size_t i = 0; i < 10; i++)
        blocks[i] = (struct block){.bottom = 9000, .gap = 2000, .growth = 2000, .shrink = 500};
    struct page_matter matter = {
        .blocks = blocks, .count = 10, .height = WIDTH, .page_cost = HOUSE_COST_PAGE};
    uint32_t ends[10];
    ck_assert_uint_eq(pages_find(&matter, ends, NULL), 2);
    ck_assert_uint_eq(ends[0], 5);
}
END_TEST

START_TEST(a_bar_wider_than_a_line_stands_alone)
{
    struct line_bar bars[] = {a_bar(20000, false), a_bar(120000, false), a_bar(20000, false)};
    bars[1].notes.least = 110000;
    bars[1].notes.rods = 108000;
    uint32_t ends[3];
    ck_assert_uint_eq(lines_break(bars, 3, WIDTH, 0, false, ends), 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout lines");
    TCase *cases = tcase_create("breaking");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, no_way_to_break_lines_costs_less);
    tcase_add_test(cases, a_line_begins_with_notes);
    tcase_add_test(cases, no_way_to_break_pages_costs_less);
    tcase_add_test(cases, no_arrangement_of_pages_costs_less);
    tcase_add_test(cases, no_small_lesson_is_broken_worse_than_it_could_be);
    tcase_add_test(cases, no_last_line_stands_alone);
    tcase_add_test(cases, the_last_page_shares_with_the_one_before_it);
    tcase_add_test(cases, bars_per_line_overrides);
    tcase_add_test(cases, a_coda_begins_a_line_whatever_is_asked_for);
    tcase_add_test(cases, a_heading_keeps_its_first_line);
    tcase_add_test(cases, a_bar_wider_than_a_line_stands_alone);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
