/* When a sticking lines up with beat 1 again: lcm(C, S) / S bars, lcm(C, S) / C rounds. */
#include "build/cycle.h"
#include "built.h"

#include "base/buffer.h"
#include "suite.h"

#include <check.h>

/* Least common multiples from a table of the kind that handbooks print (checked by prime factors),
   not from the program's own arithmetic. */
static const struct {
    uint32_t cycle, bar, multiple;
} multiples[] = {{6, 16, 48}, {8, 24, 24},   {5, 16, 80},  {7, 16, 112},  {3, 8, 24},
                 {4, 12, 12}, {9, 24, 72},   {10, 12, 60}, {15, 16, 240}, {16, 16, 16},
                 {1, 7, 7},   {17, 32, 544}, {12, 18, 36}, {21, 28, 84},  {64, 48, 192}};

START_TEST(a_cycle_lines_up_at_the_least_common_multiple)
{
    uint32_t c = multiples[_i].cycle, s = multiples[_i].bar, m = multiples[_i].multiple;
    struct cycle cycle = cycle_make(c, s, m / s, false);
    ck_assert_uint_eq(cycle.bars_to_line_up, m / s);
    ck_assert_uint_eq(cycle.rotations, m / c);
    ck_assert(cycle.lines_up);
    ck_assert_int_eq(cycle_make(c, s, m / s + 1, false).lines_up, m / s == 1);
}
END_TEST

/* Counted out stroke by stroke: the first bar line, after the start, that meets the first stroke.
 */
START_TEST(counting_it_out_gives_the_same)
{
    for (uint32_t c = 1; c <= 40; c++)
        for (uint32_t s = 1; s <= 40; s++) {
            uint32_t slot = 0, bars = 0;
            do {
                slot = (slot + s) % c;
                bars++;
            } while (slot);
            ck_assert_uint_eq(cycle_make(c, s, 1, false).bars_to_line_up, bars);
        }
}
END_TEST

/* Common practice: six sixteenth-triplet notes a beat make 24 a bar of 4/4, in which a sticking of
   eight goes round three times. */
START_TEST(eight_strokes_go_round_three_times_in_a_bar_of_sixes)
{
    struct built built = built_right("title: T\nexercises:\n  - title: E\n"
                                     "    subdivision: sixteenth triplets\n"
                                     "    sticking: RLRRLRLL\n    bars: resolve\n");
    const struct score_exercise *exercise = &built.score->exercises[0];
    ck_assert_uint_eq(exercise->bar_count, 1);
    ck_assert_uint_eq(exercise->bars[0].lines[LINE_HANDS].leaf_count, 24);
    ck_assert_uint_eq(exercise->cycle.slots_in_bar, 24);
    ck_assert_uint_eq(exercise->cycle.rotations, 3);
    built_release(&built);
}
END_TEST

START_TEST(an_empty_slot_counts_in_the_cycle)
{
    struct built built = built_right("title: T\nexercises:\n"
                                     "  - {title: E, subdivision: sixteenths, sticking: RL.RL., "
                                     "bars: resolve}\n");
    ck_assert_uint_eq(built.score->exercises[0].cycle.slots_in_cycle, 6);
    ck_assert_uint_eq(built.score->exercises[0].bar_count, 3);
    built_release(&built);
}
END_TEST

START_TEST(a_sticking_longer_than_its_bars_gets_as_many_as_it_needs)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nexercises:\n"
                                     "  - {title: E, sticking: RLRRLRLL RLRLRLRL RR}\n"
                                     "  - {title: F, sticking: RLRRLRLL RLRLRLRL RR, bars: 1}\n");
    ck_assert_uint_eq(built.score->exercises[0].bar_count, 3);
    ck_assert_uint_eq(built.score->exercises[1].bar_count, 1);
    built_release(&built);
}
END_TEST

/* A loop of one bar of 16 under a sticking of five: the running cycle would go on with stroke 1,
   counted from 0 (16 = 3 x 5 + 1): the left hand, but the loop begins with the right again. */
START_TEST(a_loop_tells_whether_the_hand_changes)
{
    struct built built = built_right("title: T\nsubdivision: sixteenths\nexercises:\n"
                                     "  - {title: E, sticking: RLRLL, repeat: 2}\n"
                                     "  - {title: F, sticking: RLLRRL, repeat: 2}\n"
                                     "  - {title: G, sticking: RLLRRL, repeat: 2, bars: 3}\n");
    const struct cycle *changing = &built.score->exercises[0].cycle;
    ck_assert(changing->loops && !changing->lines_up && changing->hand_changes);
    const struct cycle *same = &built.score->exercises[1].cycle; /* 16 = 2 x 6 + 4: R */
    ck_assert(same->loops && !same->lines_up && !same->hand_changes);
    const struct cycle *home = &built.score->exercises[2].cycle;
    ck_assert(home->loops && home->lines_up && !home->hand_changes);
    built_release(&built);
}
END_TEST

START_TEST(what_cannot_be_resolved_is_said)
{
    struct built built = built_any("title: T\nsubdivision: sixteenths\nexercises:\n"
                                   "  - title: E\n    play: {R: ride}\n    bars: resolve\n");
    built_finding(&built, DIAG_MISSING_KEY, 6, 11);
    built_release(&built);
    struct buffer text = {0};
    buffer_add_text(&text, "title: T\nsubdivision: sixteenths\nexercises:\n  - title: E\n"
                           "    bars: resolve\n    sticking: ");
    for (int i = 0; i < 65537; i++) /* odd, so that it needs as many bars as it has strokes */
        buffer_add_text(&text, i % 2 ? "R" : "L");
    buffer_add_text(&text, "\n");
    built = built_any(text.bytes);
    built_finding(&built, DIAG_LIMIT, 5, 11);
    built_release(&built);
    buffer_release(&text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cycle");
    TCase *test = tcase_create("cycles");
    tcase_add_loop_test(test, a_cycle_lines_up_at_the_least_common_multiple, 0,
                        (int)(sizeof multiples / sizeof *multiples));
    tcase_add_test(test, counting_it_out_gives_the_same);
    tcase_add_test(test, eight_strokes_go_round_three_times_in_a_bar_of_sixes);
    tcase_add_test(test, an_empty_slot_counts_in_the_cycle);
    tcase_add_test(test, a_sticking_longer_than_its_bars_gets_as_many_as_it_needs);
    tcase_add_test(test, a_loop_tells_whether_the_hand_changes);
    tcase_add_test(test, what_cannot_be_resolved_is_said);
    suite_add_tcase(suite, test);
    return run_suite(suite);
}
