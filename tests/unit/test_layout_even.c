/* Spacing that is even to the eye: ink that interlocks, bars and lines of one rhythm. Set with
   plain metrics, whose signs fill their boxes, except where noted. */
#include "layout/layout_state.h"
#include "shown_page.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The width of a bar of a system, from its first column to the bar line after it. */
static sp columns_width(size_t system, uint32_t bar)
{
    const struct page_system *at = &page->systems[system];
    sp first = INT32_MAX, line = INT32_MAX;
    for (size_t i = 0; i < at->column_count; i++)
        if (at->columns[i].bar == bar)
            first = at->columns[i].x < first ? at->columns[i].x : first;
    for (size_t i = 0; i < at->mark_count; i++) {
        const struct mark *mark = &page->marks[at->first_mark + i];
        if (mark->role == ROLE_BAR_LINE && mark->owner.bar == bar && mark->box.left < line)
            line = mark->box.left;
    }
    return line - first;
}

/* ---- bars of one rhythm ------------------------------------------------------------------- */

/* Where four bars share a line the ghosts' parentheses hold its sixteenths apart: in every bar. */
START_TEST(a_bar_with_ghosts_is_as_wide_as_its_neighbours)
{
    open_lesson("page: {bars-per-line: 4}\nexercises:\n  - title: Try\n    subdivision: 16ths\n"
                "    time: 7/8\n"
                "    bars: [{sticking: RL}, {sticking: RLR(L)}, {sticking: RL}, {sticking: LR}]\n");
    ck_assert_int_le(abs(columns_width(0, 0) - columns_width(0, 1)), 1);
    const struct page_column *columns = page->systems[0].columns;
    ck_assert(columns[14 + 2].pushed); /* or this would prove nothing */
    for (size_t i = 0; i < 14; i++)
        ck_assert_int_le(abs(columns[i].x - columns[0].x - columns[14 + i].x + columns[14].x), 1);
}
END_TEST

/* A drag in a row of sixteenths needs a hole; the bar after it has nothing to put there. */
START_TEST(a_drag_tears_no_hole_into_other_bars)
{
    open_lesson("page: {bars-per-line: 3}\nexercises:\n  - title: Try\n    subdivision: 16ths\n"
                "    bars: [{sticking: R L R L R L R llR L R L R L R L R}, {sticking: RL},"
                " {sticking: RL}]\n");
    const struct page_column *columns = page->systems[0].columns;
    sp drag = 0, plain = 0;
    for (size_t i = 0; i + 1 < 16; i++) {
        sp with = columns[i + 1].x - columns[i].x, without = columns[17 + i].x - columns[16 + i].x;
        drag = with > drag ? with : drag;
        plain = without > plain ? without : plain;
    }
    ck_assert_int_gt(drag, plain + 500);
}
END_TEST

/* ---- ink that interlocks ------------------------------------------------------------------ */

/* Ghosts on the snare between strokes of the floor tom, a space lower: the real parentheses curve
   around their own heads and leave room for the others; boxes would not. */
static sp ghosts_rod(bool faces, const char *other)
{
    static char text[256];
    snprintf(text, sizeof text,
             "show: {sticking: no, counts: off}\nexercises:\n  - title: Try\n"
             "    subdivision: 16ths\n    sticking: (L)R\n    play: {L: snare, R: %s}\n"
             "    kick: 1\n",
             other);
    set_lesson_open(&set, "lesson.yaml", text, strlen(text), NULL, faces);
    ck_assert_ptr_nonnull(set.layout);
    ck_assert_uint_eq(set.layout->work.columns.count, 16);
    return set.layout->work.springs.items[2].rod;
}

START_TEST(parentheses_let_a_lower_head_in)
{
    sp apart = ghosts_rod(true, "floor-tom");
    teardown();
    sp level = ghosts_rod(true, "snare");
    teardown();
    ck_assert_int_lt(apart, level - 150);
    ck_assert_int_lt(apart, ghosts_rod(false, "floor-tom") - 150);
}
END_TEST

/* ---- lines of one rhythm ------------------------------------------------------------------ */

#define SAME_LINES                                                                                 \
    "page: {bars-per-line: 2}\nexercises:\n  - title: Try\n    subdivision: [eighths, 16ths]\n"    \
    "    sticking: RL\n"

static void expect_lines_aligned(void)
{
    const struct page_system *first = &page->systems[0];
    for (size_t s = 1; s < page->system_count; s++) {
        const struct page_system *system = &page->systems[s];
        ck_assert_uint_gt(system->column_count, 0);
        for (size_t i = 0; i < system->column_count; i++)
            ck_assert_int_eq(system->columns[i].x, first->columns[i].x);
    }
}

/* The first line has a meter and the last one a repeat, the others neither. */
START_TEST(lines_of_one_rhythm_stand_under_each_other)
{
    open_lesson(SAME_LINES "    bars: 6\n    repeat: 2\n");
    ck_assert_uint_eq(page->system_count, 3);
    expect_lines_aligned();
    for (size_t s = 0; s < 3; s++)
        ck_assert_int_le(abs(columns_width(s, 2 * (uint32_t)s) - columns_width(0, 0)), 1);
}
END_TEST

START_TEST(a_short_last_line_stands_under_the_others)
{
    open_lesson(SAME_LINES "    bars: 5\n");
    ck_assert_uint_eq(page->system_count, 3);
    ck_assert(page->systems[2].ragged);
    expect_lines_aligned();
}
END_TEST

START_TEST(lines_of_other_rhythms_keep_their_own_start)
{
    open_lesson("page: {bars-per-line: 1}\nexercises:\n  - title: Try\n    subdivision: eighths\n"
                "    bars:\n      - {sticking: RL}\n"
                "      - {subdivision: 16ths, sticking: RL}\n");
    ck_assert_uint_eq(page->system_count, 2);
    ck_assert_int_lt(page->systems[1].columns[0].x, page->systems[0].columns[0].x - 1500);
}
END_TEST

/* ---- beams and staff lines ---------------------------------------------------------------- */

/* From one beam to three, from every place in the staff. */
START_TEST(no_beam_in_the_staff_leaves_a_wedge)
{
    static const char *const values[] = {"eighths", "16ths", "32nds"};
    static char text[512];
    size_t inside = 0;
    for (size_t v = 0; v < 3; v++)
        for (int place = 0; place <= 5; place++) {
            snprintf(
                text, sizeof text,
                "kit: {voices: {deep: {line: %d.5, head: round}}}\nexercises:\n  - title: Try\n"
                "    time: 1/4\n    subdivision: %s\n    sticking: RL\n"
                "    play: {R: deep, L: deep}\npage: {staff-lines: 5}\n",
                place, values[v]);
            if (v || place)
                teardown(); /* of the one before; the last is the fixture's */
            open_lesson(text);
            sp top = page->systems[0].staff_top;
            for (size_t b = 0; b < count_of(ROLE_BEAM); b++) {
                const struct mark *beam = mark_of(ROLE_BEAM, b);
                for (sp line = top; line <= top + 4000; line += 1000) {
                    sp above = line - 60 - beam->box.bottom, below = beam->box.top - line - 60;
                    ck_assert_msg(above <= 0 || above >= HOUSE_WEDGE_LEAST, "%s", text);
                    ck_assert_msg(below <= 0 || below >= HOUSE_WEDGE_LEAST, "%s", text);
                }
                inside += beam->box.bottom > top;
            }
        }
    ck_assert_uint_gt(inside, 0);
}
END_TEST

/* ---- rows --------------------------------------------------------------------------------- */

static sp first_letters_gap(void)
{
    return mark_of(ROLE_STICKING, 0)->box.top - page->systems[0].staff_bottom;
}

/* The row keeps its distance from what hangs over its letters; what hangs beside them only must not
   reach between them. */
START_TEST(a_foot_beside_the_letters_pushes_them_down_less)
{
    open_exercise("    subdivision: quarters\n    sticking: R . L .\n    kick: 1\n");
    sp over = first_letters_gap();
    teardown();
    open_exercise("    subdivision: quarters\n    sticking: R . L .\n    kick: 2\n");
    sp beside = first_letters_gap();
    ck_assert_int_gt(over, beside);
    sp lowest = 0;
    for (size_t i = 0; i < count_of(ROLE_STEM); i++)
        lowest = sp_max(lowest, mark_of(ROLE_STEM, i)->box.bottom);
    ck_assert_int_ge(mark_of(ROLE_STICKING, 0)->box.top, lowest);
}
END_TEST

/* ---- hands and feet by turns ---------------------------------------------------------------- */

/* Gould 2011 (from memory): what sounds in turn in two voices is spaced like one rhythm. The
   values of the hands and rests of the feet are longer than the time to the next stroke. */
START_TEST(a_linear_fill_is_as_even_as_one_line)
{
    open_exercise("    subdivision: sixteenths\n    sticking: RLKK RLRK\n    bars: 1\n");
    const struct page_column *columns = page->systems[0].columns;
    ck_assert_uint_eq(page->systems[0].column_count, 16);
    for (size_t i = 0; i + 1 < 15; i++)
        ck_assert_int_le(abs(columns[i + 2].x - 2 * columns[i + 1].x + columns[i].x), 1);
}
END_TEST

/* Two against three: the quarters stay as far apart as each other. */
START_TEST(a_rhythm_against_another_keeps_its_own_pace)
{
    open_exercise("    time: 3/4\n    right: {rhythm: 4 4 4}\n    left: {rhythm: 4. 4.}\n"
                  "    bars: 1\n");
    const struct page_column *columns = page->systems[0].columns;
    ck_assert_uint_eq(page->systems[0].column_count, 4);
    ck_assert_int_le(abs((columns[1].x - columns[0].x) - (columns[3].x - columns[1].x)), 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layout even");
    TCase *cases = tcase_create("even");
    tcase_add_checked_fixture(cases, NULL, teardown);
    tcase_add_test(cases, a_bar_with_ghosts_is_as_wide_as_its_neighbours);
    tcase_add_test(cases, a_drag_tears_no_hole_into_other_bars);
    tcase_add_test(cases, parentheses_let_a_lower_head_in);
    tcase_add_test(cases, lines_of_one_rhythm_stand_under_each_other);
    tcase_add_test(cases, a_short_last_line_stands_under_the_others);
    tcase_add_test(cases, lines_of_other_rhythms_keep_their_own_start);
    tcase_add_test(cases, no_beam_in_the_staff_leaves_a_wedge);
    tcase_add_test(cases, a_foot_beside_the_letters_pushes_them_down_less);
    tcase_add_test(cases, a_linear_fill_is_as_even_as_one_line);
    tcase_add_test(cases, a_rhythm_against_another_keeps_its_own_pace);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
