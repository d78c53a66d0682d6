/*
 * Rests of the feet (src/layout/feet_rests.c): a note or rest that no note or rest of the hands
 * stands above needs what is before it in its own line (common practice where two voices share a
 * staff: a rest is left out only where the other voice shows the place).
 */
#include "layout/layout_state.h"
#include "shown_page.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

#define HATS "    subdivision: eighths\n    sticking: RRRR RRRR\n    play: {R: hi-hat}\n"
#define HALVES "    rhythm: 2 2\n    sticking: RL\n"

static struct buffer out;

/* Onsets of the rests that are printed for the feet, in whole notes. */
static const char *feet_rests(const char *lines)
{
    buffer_release(&out);
    buffer_add_text(&out, "");
    open_exercise(lines);
    const struct score_bar *bar = set.score->exercises[0].bars;
    for (size_t i = 0; i < page->mark_count; i++) {
        const struct mark *mark = &page->marks[i];
        if (mark->role != ROLE_REST || mark->owner.line != LINE_FEET)
            continue;
        struct fraction onset = bar->lines[LINE_FEET].leaves[mark->owner.stroke].onset;
        buffer_format(&out, "%s%d/%d", out.length ? " " : "", (int)onset.numerator,
                      (int)onset.denominator);
    }
    return buffer_text(&out);
}

static const struct {
    const char *lines, *rests;
} cases[] = {
    {HATS "    kick: 1 2& 3 4&\n", ""},     /* each under a hat */
    {HATS "    kick: 1 1a 3\n", ""},        /* its beam says when */
    {HATS "    kick: 1 2e 3\n", "1/4"},     /* between hats */
    {HATS "    kick: 1 2a 3\n", "1/4 3/8"}, /* the beat adds up */
    {HATS "    kick: 1 2let of eighth triplets\n", "1/4"},
    {HATS "    kick: 1 2trip of eighth triplets\n", "1/4"},
    {HALVES "    kick: 1 3\n", ""},
    {HALVES "    kick: 2&\n", "0/1 1/4"}, /* back to where a hand is seen */
    {HALVES "    kick: 1 4&\n", "1/2 3/4"},
    {HATS "    kick: 1 2e 3\n    show: {feet-rests: yes}\n", "1/4 3/4"},
};

START_TEST(a_foot_between_the_hands_has_its_rests)
{
    const char *got = feet_rests(cases[_i].lines);
    ck_assert_msg(strcmp(got, cases[_i].rests) == 0, "%s: rests at '%s', expected '%s'",
                  cases[_i].lines, got, cases[_i].rests);
}
END_TEST

/* Where the hands have the tuplet their figure is for both; a rest of the feet needs its own. */
START_TEST(a_tuplet_with_rests_has_its_figure)
{
    static const char hands[] = "    subdivision: eighth triplets\n    sticking: R.. R.. RLL RLL\n";
    char lines[200];
    snprintf(lines, sizeof lines, "%s    kick: 1 3trip\n", hands);
    open_exercise(lines);
    ck_assert_uint_eq(count_of(ROLE_TUPLET_NUMBER), 2);
    teardown();
    snprintf(lines, sizeof lines, "%s    kick: 1 2trip\n", hands);
    open_exercise(lines);
    ck_assert_uint_eq(count_of(ROLE_TUPLET_NUMBER), 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("feet rests");
    TCase *tcase = tcase_create("feet rests");
    tcase_add_checked_fixture(tcase, NULL, teardown);
    tcase_add_loop_test(tcase, a_foot_between_the_hands_has_its_rests, 0,
                        (int)(sizeof cases / sizeof *cases));
    tcase_add_test(tcase, a_tuplet_with_rests_has_its_figure);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
