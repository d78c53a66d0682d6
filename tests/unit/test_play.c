/*
 * Playability against worked cases: figures and cases of a reference on the playability of drum
 * patterns, worked out there by hand and by bisection with the default thresholds; cases by number.
 */
#include "built.h"

#include "base/buffer.h"
#include "play/play.h"
#include "play/reach.h"
#include "reading.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct verdict *judged(const struct built *built, enum player_level level)
{
    play_judge(built->score, &(struct play_options){.limits = limits_builtin(level)});
    const struct verdict *verdict = built->score->exercises[0].verdict;
    ck_assert_ptr_nonnull(verdict);
    return verdict;
}

/* The highest tempo, rounded down to a tenth: advanced, intermediate, beginner; and what limits it
   at each level, a limb's letters and the kind of move. */
static const struct {
    const char *name, *exercise;
    double tempo[3]; /* as printed there, before rounding down */
    const char *limit[3];
} cases[] = {
    {"1: RRLL in sixteenth triplets",
     "  - {subdivision: sixteenth triplets, sticking: RRLL, repeat: 20}\n",
     {166.67, 105.82, 60.61},
     {"RH bounce", "LH bounce", "LH bounce"}},
    {"2: RLRL in sixteenths",
     "  - {subdivision: sixteenths, sticking: RLRL, repeat: 20}\n",
     {206.8965, 158.73, 109.09},
     {"RH sustain", "LH sustain", "LH sustain"}},
    {"3: one-handed sixteenths on the hi-hat",
     "  - {subdivision: sixteenths, sticking: R, play: {R: hi-hat}, repeat: 20}\n",
     {103.45, 83.33, 60.00},
     {"RH sustain", "RH sustain", "RH sustain"}},
    {"4: bass drum, two strokes a sixteenth apart once a bar",
     "  - {subdivision: sixteenths, kick: 1 1e, repeat: 20}\n",
     {130.43, 88.24, 60.00},
     {"RF repeat", "RF repeat", "RF repeat"}},
    {"4: bass drum in eighths",
     "  - {subdivision: eighths, kick: eighths, repeat: 20}\n",
     {166.67, 125.00, 85.71},
     {"RF sustain", "RF sustain", "RF sustain"}},
    {"5: sixteenth hi-hat RLRL, the right hand to the snare on 2 and 4 and back",
     "  - {subdivision: sixteenths, sticking: RLRL, play: {R: hi-hat, L: hi-hat},\n"
     "     at: {2: snare, 4: snare}, repeat: 20}\n",
     {198.35, 128.93, 99.18},
     {"RH travel", "RH travel", "RH travel"}},
    {"6: a fill down the drums",
     "  - {subdivision: sixteenths, sticking: RLRL,\n"
     "     voices: snare*4 high-tom*4 mid-tom*4 floor-tom*4}\n",
     {184.01, 119.60, 92.00},
     {"RH travel", "RH travel", "RH travel"}},
    {"6: the same to the right crash",
     "  - {subdivision: sixteenths, sticking: RLRL, bars: [\n"
     "     {voices: snare*4 high-tom*4 mid-tom*4 floor-tom*4},\n"
     "     {sticking: R . . . | . . . . | . . . . | . . . ., voices: second-crash}]}\n",
     {149.46, 97.15, 74.73},
     {"RH travel", "RH travel", "RH travel"}},
    {"7: paradiddle",
     "  - {subdivision: sixteenths, sticking: RLRR LRLL, repeat: 20}\n",
     {250.00, 158.73, 90.91},
     {"RH repeat", "LH bounce", "LH bounce"}}, /* advanced: a tie, the earlier counts */
    {"8: a flam, its grace hand a sixteenth earlier",
     "  - {subdivision: sixteenths, sticking: \". . . . | . . . L | lR . . . | . . . .\"}\n",
     {103.45, 82.19, 61.22},
     {"LH repeat", "LH repeat", "LH repeat"}},
    {"9: rock beat",
     "  - {subdivision: eighths, sticking: R R B R R R B R, play: {R: hi-hat, L: snare},\n"
     "     kick: 1 1& 3, repeat: 20}\n",
     {206.8965, 166.67, 120.00},
     {"RH sustain", "RH sustain", NULL}},
    {"10: ride pattern in swing 2:1",
     "  - {subdivision: eighths, swing: 2/3, sticking: R . R R R . R R, play: {R: ride},\n"
     "     hat-foot: 2 4, repeat: 20}\n",
     {333.33, 222.22, 133.33},
     {"RH repeat", "RH bounce", "RH bounce"}}, /* a tie */
    {"10: the same, written in triplets",
     "  - {subdivision: eighth triplets, sticking: R . . R . R, play: {R: ride},\n"
     "     hat-foot: 2 4, repeat: 20}\n",
     {333.33, 222.22, 133.33},
     {"RH repeat", "RH bounce", "RH bounce"}}, /* a tie */
};

static const char *const limb_letters[] = {"RH", "LH", "RF", "LF"};

START_TEST(worked_cases_hold_to_the_figure)
{
    struct built built =
        built_right(arena_format(arena, "title: T\nexercises:\n%s", cases[_i].exercise));
    for (int i = 0; i < 3; i++) {
        const struct verdict *verdict = judged(&built, (enum player_level)(LEVEL_ADVANCED - i));
        ck_assert_int_eq(verdict->kind, VERDICT_TEMPO);
        const char *limit = arena_format(built.arena, "%s %s", limb_letters[verdict->limit.limb],
                                         move_word(verdict->limit.kind));
        uint32_t tenths = (uint32_t)(cases[_i].tempo[i] * 10 + 1e-6);
        ck_assert_msg(verdict->max_tenths == tenths, "%s, %s: %u.%u by %s, not %.2f",
                      cases[_i].name, verdict->limits->name, verdict->max_tenths / 10,
                      verdict->max_tenths % 10, limit, cases[_i].tempo[i]);
        if (cases[_i].limit[i])
            ck_assert_msg(strcmp(limit, cases[_i].limit[i]) == 0, "%s, %s: by %s, not %s",
                          cases[_i].name, verdict->limits->name, limit, cases[_i].limit[i]);
    }
    built_release(&built);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("play");
    tcase_add_checked_fixture(tcase, reading_begin, reading_finish);
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, worked_cases_hold_to_the_figure, 0, sizeof cases / sizeof *cases);
    Suite *suite = suite_create("play");
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
