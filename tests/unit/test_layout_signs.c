/* The signs of a page that more than one line, bar or note shares: one idea a case, set with plain
   metrics. */
#include "layout/equation.h"
#include "layout/layout_state.h"
#include "shown_page.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#define TWO_A_LINE "page: {bars-per-line: 2}\nexercises:\n  - title: Try\n"

/* ---- dynamics ----------------------------------------------------------------------------- */

/* The mouth of a hairpin's part at its left and right end: its two lines lie one after the other.
 */
static sp mouth(size_t part, bool right)
{
    const struct mark *upper = mark_of(ROLE_HAIRPIN, 2 * part);
    const struct mark *lower = mark_of(ROLE_HAIRPIN, 2 * part + 1);
    return right ? lower->as.ends.to.y - upper->as.ends.to.y
                 : lower->as.ends.from.y - upper->as.ends.from.y;
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

START_TEST(a_long_hairpin_opens_wider)
{
    open_exercise("    subdivision: eighths\n    sticking: RL\n    bars: 2\n"
                  "    dynamics: {1:1: p, 1:2: cresc, 1:4: f, 2:1: dim, 2:4&: p}\n");
    ck_assert_uint_eq(count_of(ROLE_HAIRPIN), 4);
    ck_assert_int_gt(mouth(1, false), mouth(0, true));
    ck_assert_int_le(mouth(1, false), 2000);
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

/* Gould 2011, Dynamics (from memory): a level holds until another one; it is not repeated. */
START_TEST(a_level_is_printed_where_it_changes)
{
    open_exercise(
        "    subdivision: eighths\n    sticking: RL\n    bars: 4\n    dynamics: {1: p}\n");
    ck_assert_uint_eq(count_glyph(GLYPH_DYNAMIC_P), 1);
}
END_TEST

static const struct {
    const char *bars;
    size_t marks; /* letters of dynamics */
} levels[] = {
    {"[{dynamics: {1: f}}, {dynamics: {1: p, 3: p}}, {dynamics: {3: p}}, {dynamics: {1: f}}]", 3},
    {"[{dynamics: {1: p}}, {}, {dynamics: {1: p}}]", 1},
    {"[{dynamics: {1: p}}, {dynamics: {1: p, 2: cresc, 4: p}}]", 2}, /* it swelled in between */
    {"[{dynamics: {1: sfz}}, {dynamics: {1: sfz}}]", 6},             /* holds for one note */
    {"[{dynamics: {1: fp}}, {dynamics: {1: p}}]", 3},
    {"[{dynamics: {1: p}}, {mark: B, dynamics: {1: p}}]", 2}, /* players look for it */
};

START_TEST(what_holds_already_is_not_printed)
{
    char text[300];
    snprintf(text, sizeof text,
             "exercises:\n  - subdivision: quarters\n    sticking: RL\n    bars: %s\n",
             levels[_i].bars);
    open_lesson(text);
    ck_assert_uint_eq(count_of(ROLE_DYNAMIC), levels[_i].marks);
}
END_TEST

START_TEST(an_ending_says_its_level)
{
    open_exercise("    subdivision: quarters\n    sticking: RL\n    bars: [{dynamics: {1: f}}]\n"
                  "    endings: {1: [{dynamics: {1: f}}], 2: [{dynamics: {1: f}}]}\n");
    ck_assert_uint_eq(count_glyph(GLYPH_DYNAMIC_F), 3);
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

/* ---- bar numbers -------------------------------------------------------------------------- */

START_TEST(lines_begin_with_the_number_of_their_bar)
{
    open_lesson(TWO_A_LINE "    subdivision: eighths\n    sticking: RL\n    bars: 5\n");
    ck_assert_str_eq(texts_of(ROLE_BAR_NUMBER), "3 5");
    ck_assert_int_eq(mark_of(ROLE_BAR_NUMBER, 0)->box.left, page->systems[1].left);
    ck_assert_int_lt(mark_of(ROLE_BAR_NUMBER, 0)->box.bottom, page->systems[1].staff_top);
}
END_TEST

START_TEST(bar_numbers_can_be_left_out)
{
    open_lesson("show: {bar-numbers: no}\n" TWO_A_LINE
                "    subdivision: eighths\n    sticking: RL\n    bars: 5\n");
    ck_assert_uint_eq(count_of(ROLE_BAR_NUMBER), 0);
}
END_TEST

/* ---- heads -------------------------------------------------------------------------------- */

/* Crosses a step apart: the stem stands between them. */
START_TEST(crosses_a_step_apart_do_not_run_into_each_other)
{
    open_exercise("    subdivision: quarters\n    sticking: B\n"
                  "    play: {R: second-crash, L: crash}\n");
    const struct box *low = &mark_of(ROLE_HEAD, 0)->box, *high = &mark_of(ROLE_HEAD, 1)->box;
    const struct box *stem = &mark_of(ROLE_STEM, 0)->box;
    ck_assert_int_le(low->right, stem->right);
    ck_assert_int_ge(high->left, stem->left + (stem->right - stem->left) / 2);
    ck_assert_int_lt(high->left, stem->right); /* and both touch it */
}
END_TEST

/* A grace is struck on what its main note is. */
START_TEST(graces_have_the_head_of_their_note)
{
    open_exercise("    subdivision: quarters\n    sticking: lR\n    play: {R: ride}\n");
    ck_assert_uint_eq(mark_of(ROLE_GRACE_HEAD, 0)->glyph, GLYPH_HEAD_X_BLACK);
    teardown();
    open_exercise("    subdivision: quarters\n    sticking: lR\n    play: {R: rim-shot}\n");
    ck_assert_uint_eq(mark_of(ROLE_GRACE_HEAD, 0)->glyph, GLYPH_HEAD_BLACK);
}
END_TEST

/* ---- tempos ------------------------------------------------------------------------------- */

/* Printed again only where it is another one: in beats a minute, in its beat, or after a change. */
START_TEST(a_shared_tempo_is_printed_once)
{
    open_lesson("show: {tempo: once}\ntempo: 60\nsubdivision: eighths\nsticking: RL\nexercises:\n"
                "  - {title: A}\n  - {title: B}\n  - {title: C, tempo: 72}\n"
                "  - {title: D, tempo: 72.5}\n  - {title: E, tempo: 72.5, time: 6/8}\n"
                "  - {title: F, tempo: 4=72.5, bars: [{}, {tempo: 90}]}\n"
                "  - {title: G, tempo: 4=72.5}\n");
    ck_assert_str_eq(texts_of(ROLE_TEMPO), "= 60 = 72 = 72.5 = 72.5 = 72.5 = 90 = 72.5");
}
END_TEST

/* ---- columns ------------------------------------------------------------------------------ */

/* Pairs stand level, in their order, wherever two in a row fit; what does not has the whole width.
 */
START_TEST(two_columns_hold_pairs_that_fit)
{
    open_lesson("page: {columns: 2}\nsubdivision: eighths\nsticking: RL\nexercises:\n"
                "  - {title: A}\n  - {title: B}\n  - {title: C, bars: 8}\n"
                "  - {title: D}\n  - {title: E}\n");
    const struct page_system *lines = page->systems;
    size_t last = page->system_count - 1;
    ck_assert_int_eq(lines[0].staff_top, lines[1].staff_top);
    ck_assert_int_lt(lines[0].left, lines[1].left);
    ck_assert_int_lt(lines[1].staff_top, lines[2].staff_top);
    ck_assert_int_eq(lines[2].left, lines[0].left);
    ck_assert_int_eq(lines[last - 1].staff_top, lines[last].staff_top);
    ck_assert_int_eq(lines[last].left, lines[1].left);
}
END_TEST

/* ---- ties --------------------------------------------------------------------------------- */

/* What is left of a tie in the line that it enters is long enough to be seen as one. */
START_TEST(a_tie_that_enters_a_line_has_room)
{
    open_lesson("page: {bars-per-line: 1}\nexercises:\n  - bars:\n"
                "      - {rhythm: 2 2, sticking: R R/+}\n      - {rhythm: 1, sticking: R/}\n");
    const struct mark *tie = mark_of(ROLE_TIE, 1);
    ck_assert_int_ge(tie->as.ends.to.x - tie->as.ends.from.x, HOUSE_TIE_LEAST);
    ck_assert_int_ge(tie->as.ends.from.x, mark_of(ROLE_CLEF, 1)->box.right);
}
END_TEST

/* ---- practice forms ----------------------------------------------------------------------- */

#define PHRASE                                                                                     \
    "subdivision: eighths\nsticking: RL\nexercises:\n"                                             \
    "  - {title: Groove, id: groove, play: {R: ride}, repeat: 4}\n"                                \
    "  - {title: Two, id: two, kick: [1, 2]}\n"                                                    \
    "  - {title: Fill, id: fill, accents: 1}\n"

static const struct page_system *last_system(void)
{
    return &page->systems[page->system_count - 1];
}

START_TEST(a_phrase_is_written_out_with_bar_repeats)
{
    open_lesson(PHRASE "  - {title: Form, sequence: groove*3 fill}\n");
    ck_assert_uint_eq(count_glyph(GLYPH_REPEAT_1_BAR), 2);
    ck_assert_uint_eq(last_system()->exercise, 3);
    ck_assert_uint_eq(last_system()->bar_count, 4);
    for (size_t i = 0; i < 2; i++) {
        const struct box *box = &mark_of(ROLE_BAR_REPEAT, i)->box;
        ck_assert_int_eq(box->top + box->bottom,
                         last_system()->staff_top + last_system()->staff_bottom);
    }
}
END_TEST

START_TEST(two_bars_are_repeated_by_one_sign)
{
    open_lesson(PHRASE "  - {title: Form, sequence: two*2 fill}\n");
    ck_assert_uint_eq(count_glyph(GLYPH_REPEAT_2_BARS), 1);
    ck_assert_uint_eq(count_glyph((enum glyph)(GLYPH_TUPLET_0 + 2)), 1);
    ck_assert_uint_eq(last_system()->bar_count, 4);
}
END_TEST

/* The bars that lines show stand for all bars of the score, those with notes for themselves. */
static void expect_all_bars(uint32_t exercise, const struct score_exercise *shown)
{
    const struct score_exercise *score = &set.score->exercises[exercise];
    size_t bar = 0;
    for (size_t i = 0; i < shown->bar_count; i++) {
        const struct score_bar *here = &shown->bars[i];
        ck_assert_uint_eq(here->number, bar + 1);
        if (!here->repeats)
            ck_assert_ptr_eq(here->lines[LINE_HANDS].leaves,
                             score->bars[bar].lines[LINE_HANDS].leaves);
        bar += here->repeats ? here->repeats : 1;
    }
    ck_assert_uint_eq(bar, score->bar_count);
}

/* Looks at all systems; returns how many signs there are. */
static size_t expect_notes_first(void)
{
    size_t signs = 0;
    for (size_t i = 0; i < page->system_count; i++) {
        const struct page_system *system = &page->systems[i];
        ck_assert_uint_eq(system->shown->bars[system->first_bar].repeats, 0);
        for (uint32_t b = 0; b < system->bar_count; b++)
            signs += system->shown->bars[system->first_bar + b].repeats > 0;
        if (system->first_bar == 0)
            expect_all_bars(system->exercise, system->shown);
    }
    return signs;
}

#define REPEATED "show: {bars: count}\nhi-hat: eighths\nsnare: 2 4\n"

/* Common practice: a reader who looks at the beginning of a line finds notes there. */
START_TEST(lines_begin_with_the_notes_of_bars_that_are_repeated)
{
    open_lesson(REPEATED "exercises:\n"
                         "  - {title: Ones, bars: [{times: 24}]}\n"
                         "  - {title: Twos, bars: [{kick: 1}, {kick: 3}, {same: 2, times: 12}]}\n");
    ck_assert_uint_gt(page->system_count, 3);
    ck_assert_uint_gt(expect_notes_first(), 24);
}
END_TEST

/* Every second bar of four begins a line; of a sign for two bars, the first ends a line of three.
 */
START_TEST(bars_that_a_line_parts_are_written_again)
{
    open_lesson(REPEATED "page: {bars-per-line: 2}\nexercises: [{bars: [{kick: 1, times: 4}]}]\n");
    ck_assert_uint_eq(expect_notes_first(), 2);
    teardown();
    open_lesson(REPEATED "page: {bars-per-line: 3}\nexercises:\n"
                         "  - bars: [{kick: 1}, {kick: 3}, {same: 2, times: 2}]\n");
    ck_assert_uint_eq(page->system_count, 2);
    ck_assert_uint_eq(expect_notes_first(), 1);
    ck_assert_uint_eq(page->systems[1].bar_count, 2);
}
END_TEST

START_TEST(bars_of_two_meters_are_written_again)
{
    open_lesson("subdivision: eighths\nsticking: RL\nexercises:\n"
                "  - {title: Limp, id: limp, bars: [{}, {time: 7/8}]}\n"
                "  - {title: Form, sequence: limp*2}\n");
    ck_assert_uint_eq(count_of(ROLE_BAR_REPEAT), 0);
    ck_assert_uint_eq(last_system()->first_bar + last_system()->bar_count, 4);
}
END_TEST

/* The sign has room for what stands over its first bar alone. */
static const char *const told_over_the_second[] = {
    "words: {1: Answer}", "words: Answer", "mark: B", "pace: {3: rit}", "tempo: 120",
};

START_TEST(two_bars_are_written_again_for_what_stands_over_the_second)
{
    char text[300];
    snprintf(text, sizeof text,
             "subdivision: quarters\nsticking: RL\ntempo: 60\nexercises:\n"
             "  - {title: Q, id: q, bars: [{words: {1: Call}}, {%s}]}\n"
             "  - {title: Form, sequence: q*2}\n",
             told_over_the_second[_i]);
    open_lesson(text);
    ck_assert_uint_eq(count_of(ROLE_BAR_REPEAT), 0);
    ck_assert_uint_eq(last_system()->first_bar + last_system()->bar_count, 4);
}
END_TEST

START_TEST(a_long_form_is_named_unless_its_bars_are_wanted)
{
    open_lesson(PHRASE "  - {title: Form, sequence: groove*8 fill}\n");
    ck_assert_uint_eq(count_of(ROLE_BAR_REPEAT), 0);
    teardown();
    open_lesson(PHRASE "  - {title: Form, sequence: groove*8 fill, show: {form: bars}}\n");
    ck_assert_uint_eq(count_of(ROLE_BAR_REPEAT), 7);
    teardown();
    open_lesson(PHRASE "  - {title: Form, sequence: groove*3 fill, show: {form: names}}\n");
    ck_assert_uint_eq(count_of(ROLE_BAR_REPEAT), 0);
}
END_TEST

START_TEST(a_form_of_more_than_phrases_is_named)
{
    open_lesson(PHRASE "  - {title: Long, id: long, bars: 3}\n"
                       "  - {title: Form, sequence: groove long, show: {form: bars}}\n");
    ck_assert_uint_eq(last_system()->exercise, 3);
}
END_TEST

/* ---- swing and pulse ---------------------------------------------------------------------- */

static struct equation swing(int numerator, int denominator, int half_log2)
{
    struct equation equation;
    ck_assert(equation_of_swing(fraction_make(numerator, denominator), half_log2, &equation));
    return equation;
}

static bool side_is(const struct small_group *side, unsigned first, unsigned first_dots,
                    unsigned second, unsigned second_dots, unsigned tuplet)
{
    return side->count == 2 && side->notes[0].log2 == first && side->notes[0].dots == first_dots &&
           side->notes[1].log2 == second && side->notes[1].dots == second_dots &&
           side->tuplet == tuplet;
}

/* A pair of eighths swung two to one is a triplet of quarter and eighth, as every chart prints it
   (common practice); the others follow from the share. */
START_TEST(a_swing_is_said_in_notes)
{
    struct equation equation = swing(2, 3, 3);
    ck_assert(side_is(&equation.sides[0], 3, 0, 3, 0, 0));
    ck_assert(side_is(&equation.sides[1], 2, 0, 3, 0, 3));
    equation = swing(2, 3, 4);
    ck_assert(side_is(&equation.sides[0], 4, 0, 4, 0, 0));
    ck_assert(side_is(&equation.sides[1], 3, 0, 4, 0, 3));
    equation = swing(3, 4, 3);
    ck_assert(side_is(&equation.sides[1], 3, 1, 4, 0, 0));
    equation = swing(3, 5, 3);
    ck_assert(side_is(&equation.sides[1], 3, 1, 3, 0, 5));
    ck_assert(!equation_of_swing(fraction_make(7, 12), 3, &equation));
    ck_assert(!equation_of_swing(fraction_make(5, 7), 3, &equation));
}
END_TEST

/* What the notes of the two sides add up to is the pair and the pair. */
START_TEST(both_sides_of_a_swing_are_as_long)
{
    for (int denominator = 3; denominator < 10; denominator++)
        for (int numerator = denominator / 2 + 1; numerator < denominator; numerator++) {
            struct equation said;
            struct fraction share = fraction_make(numerator, denominator);
            if (!equation_of_swing(share, 3, &said))
                continue;
            double length[2];
            int normal = 1;
            while (said.sides[1].tuplet >= 2 * normal)
                normal *= 2;
            for (int i = 0; i < 2; i++) {
                const struct small_note *note = &said.sides[1].notes[i];
                length[i] = 1.0 / (1 << note->log2) * (note->dots ? 1.5 : 1);
                if (said.sides[1].tuplet)
                    length[i] *= (double)normal / said.sides[1].tuplet;
            }
            ck_assert_double_eq_tol(length[0] + length[1], 0.25, 1e-9);
            ck_assert_double_eq_tol(length[0] / 0.25, fraction_to_double(share), 1e-9);
        }
}
END_TEST

START_TEST(a_pulse_stands_over_its_bar)
{
    open_exercise("    subdivision: eighths\n    sticking: RL\n    bars:\n      - time: 4/4\n"
                  "      - {time: 7/8, pulse: 8=8}\n");
    ck_assert_uint_eq(count_glyph(GLYPH_NOTE_8), 2);
    ck_assert_uint_eq(mark_of(ROLE_TEMPO_NOTE, 0)->owner.bar, 1);
    ck_assert_int_lt(mark_of(ROLE_TEMPO_NOTE, 0)->box.bottom, page->systems[0].staff_top);
}
END_TEST

/* The tempo that the cascade would return to is not that of a bar whose pulse says another. */
START_TEST(a_pulse_has_no_other_tempo_beside_it)
{
    open_exercise("    tempo: 80\n    subdivision: eighths\n    sticking: RL\n    bars:\n"
                  "      - {}\n      - tempo: 120\n      - pulse: 4=2\n");
    ck_assert_str_eq(texts_of(ROLE_TEMPO), "= 80 = 120 =");
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
    tcase_add_test(cases, lines_begin_with_the_number_of_their_bar);
    tcase_add_test(cases, bar_numbers_can_be_left_out);
    tcase_add_test(cases, crosses_a_step_apart_do_not_run_into_each_other);
    tcase_add_test(cases, graces_have_the_head_of_their_note);
    tcase_add_test(cases, a_shared_tempo_is_printed_once);
    tcase_add_test(cases, two_columns_hold_pairs_that_fit);
    tcase_add_test(cases, a_tie_that_enters_a_line_has_room);
    tcase_add_test(cases, a_phrase_is_written_out_with_bar_repeats);
    tcase_add_test(cases, two_bars_are_repeated_by_one_sign);
    tcase_add_test(cases, lines_begin_with_the_notes_of_bars_that_are_repeated);
    tcase_add_test(cases, bars_that_a_line_parts_are_written_again);
    tcase_add_test(cases, bars_of_two_meters_are_written_again);
    tcase_add_loop_test(cases, two_bars_are_written_again_for_what_stands_over_the_second, 0,
                        (int)(sizeof told_over_the_second / sizeof *told_over_the_second));
    tcase_add_test(cases, a_long_form_is_named_unless_its_bars_are_wanted);
    tcase_add_test(cases, a_form_of_more_than_phrases_is_named);
    tcase_add_test(cases, a_long_hairpin_opens_wider);
    tcase_add_test(cases, a_level_is_printed_where_it_changes);
    tcase_add_loop_test(cases, what_holds_already_is_not_printed, 0,
                        sizeof levels / sizeof *levels);
    tcase_add_test(cases, an_ending_says_its_level);
    tcase_add_test(cases, a_swing_is_said_in_notes);
    tcase_add_test(cases, both_sides_of_a_swing_are_as_long);
    tcase_add_test(cases, a_pulse_stands_over_its_bar);
    tcase_add_test(cases, a_pulse_has_no_other_tempo_beside_it);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
