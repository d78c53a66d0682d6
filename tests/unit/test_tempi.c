/*
 * Tempos at which ordinary material is ordinarily played, by level, in quarters a minute (common
 * practice, from memory, rounded down): a verdict has to allow each. And what lies beyond the
 * fastest that was ever measured: no level may allow that.
 */
#include "built.h"

#include "play/play.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>

/* 0: not asked of that level. */
static const struct {
    const char *material, *exercise;
    unsigned tempos[LEVEL_COUNT];
} ordinary[] = {
    {"rock beat in eighths",
     "{subdivision: eighths, sticking: R R B R R R B R, play: {R: hi-hat, L: snare}, kick: 1 3,"
     " repeat: 8}",
     {100, 150, 200}},
    {"hi-hat sixteenths hand to hand, backbeat on the snare by the right hand",
     "{subdivision: sixteenths, sticking: RLRL, play: {R: hi-hat, L: hi-hat}, at: {2 4: snare},"
     " kick: 1 3, repeat: 8}",
     {70, 105, 130}},
    {"hi-hat sixteenths with one hand",
     "{subdivision: sixteenths, sticking: RRRR BRRR, play: {R: hi-hat, L: snare}, repeat: 8}",
     {55, 80, 105}},
    {"single strokes in sixteenths, one surface, a whole line long",
     "{subdivision: sixteenths, sticking: RLRL, repeat: 8}",
     {80, 130, 190}},
    {"double strokes in sixteenths",
     "{subdivision: sixteenths, sticking: RRLL, repeat: 8}",
     {75, 130, 200}},
    {"single paradiddle in sixteenths",
     "{subdivision: sixteenths, sticking: RLRR LRLL, repeat: 8}",
     {70, 125, 185}},
    {"single paradiddle, right hand hi-hat, left ghosts on the snare, accent on 2 and 4",
     "{subdivision: sixteenths, sticking: RLRR LRLL, play: {R: hi-hat, L: snare ghost},"
     " at: {2 4: accent}, repeat: 8}",
     {60, 95, 130}},
    {"paradiddle-diddle in sixteenth triplets, ride, left ghosts, kick doubles",
     "{subdivision: sixteenth triplets, sticking: RLRRLL, play: {R: ride, L: snare ghost},"
     " kick: 1 1trip 3 3trip, repeat: 8}",
     {0, 60, 100}},
    {"paradiddle-diddle in sixteenth triplets round the kit, a drum a beat",
     "{subdivision: sixteenth triplets, sticking: RLRRLL,"
     " voices: snare*6 high-tom*6 mid-tom*6 floor-tom*6, repeat: 8}",
     {0, 70, 110}},
    {"swung ride pattern, hi-hat foot on 2 and 4",
     "{subdivision: eighths, swing: 2/3, sticking: R . R R R . R R, play: {R: ride},"
     " hat-foot: 2 4, repeat: 8}",
     {100, 180, 260}},
    {"half-time shuffle, left ghosts on each trip, snare accent on 3",
     "{subdivision: eighth triplets, sticking: R(L)R R(L)R B(L)R R(L)R,"
     " play: {R: hi-hat, L: snare}, at: {3: hi-hat + snare accent}, repeat: 8}",
     {70, 95, 120}},
    {"fill in sixteenths, four strokes a drum, then the crash on 1 with the kick",
     "{bars: [{rhythm: 16*16, sticking: RLRL RLRL RLRL RLRL,"
     " voices: snare*4 high-tom*4 mid-tom*4 floor-tom*4},"
     " {rhythm: 1, sticking: R, voices: crash+bass-drum}]}",
     {70, 110, 150}},
    {"fill in eighth triplets, three strokes a drum, then the crash on 1",
     "{bars: [{rhythm: 3(8*3) 3(8*3) 3(8*3) 3(8*3), sticking: RLR LRL RLR LRL,"
     " voices: snare*3 high-tom*3 mid-tom*3 floor-tom*3},"
     " {rhythm: 1, sticking: R, voices: crash+bass-drum}]}",
     {85, 140, 190}},
    {"ride in eighths, to the crash on 1 and back to the ride on 1&",
     "{subdivision: eighths, sticking: RRRR RRRR, play: {R: ride}, at: {1: crash}, repeat: 8}",
     {80, 130, 180}},
    {"the same to the right crash",
     "{subdivision: eighths, sticking: RRRR RRRR, play: {R: ride}, at: {1: second-crash},"
     " repeat: 8}",
     {80, 130, 180}},
    {"hi-hat in eighths, open on 4&, closed by the foot on 1",
     "{subdivision: eighths, sticking: RRRR RRRR, play: {R: hi-hat}, at: {4&: open},"
     " hat-foot: 1, repeat: 8}",
     {90, 130, 180}},
    {"kick doubles in sixteenths under eighths",
     "{subdivision: sixteenths, sticking: R.R. R.R. R.R. R.R., play: {R: hi-hat},"
     " kick: 1 1e 3 3e, repeat: 8}",
     {60, 100, 140}},
    {"kick in eighths, sustained",
     "{subdivision: eighths, kick: eighths, repeat: 8}",
     {75, 120, 170}},
    {"double bass in sixteenths, foot to foot, sustained",
     "{subdivision: eighths, sticking: RRRR RRRR, play: {R: ride}, repeat: 8, feet:"
     " {subdivision: sixteenths, sticking: RL, play: {RF: bass-drum, LF: second-bass-drum}}}",
     {0, 100, 170}},
    {"hi-hat foot in quarters, sustained",
     "{subdivision: quarters, hat-foot: quarters, repeat: 16}",
     {110, 180, 240}},
    {"hi-hat foot in eighths, sustained",
     "{subdivision: eighths, hat-foot: eighths, repeat: 8}",
     {0, 95, 135}},
    {"samba foot with hi-hat foot on the ands",
     "{time: 2/4, subdivision: sixteenths, kick: 1 1a 2 2a, hat-foot: each &, repeat: 16}",
     {0, 95, 125}},
    {"flam on each quarter, hands changing",
     "{subdivision: quarters, sticking: lR rL lR rL, repeat: 8}",
     {80, 140, 200}},
    {"flam taps in eighth triplets",
     "{time: 4/4, subdivision: eighth triplets, sticking: lRRrL LlRR rLLlR RrLL, repeat: 8}",
     {0, 90, 140}},
    {"six stroke roll in sixteenth triplets, accents on the singles",
     "{subdivision: sixteenth triplets, sticking: R>LLRRL>, repeat: 8}",
     {0, 80, 130}},
    {"drag on each quarter",
     "{subdivision: quarters, sticking: llR rrL llR rrL, repeat: 8}",
     {70, 110, 150}},
    {"three with the right foot against four of the hands",
     "{time: 2/4, subdivision: eighths, sticking: RLRL, feet: {subdivision: quarter triplets,"
     " sticking: R}, repeat: 8}",
     {0, 110, 160}},
    {"train beat, accents by count, kick and hi-hat foot in turn on eighths",
     "{subdivision: sixteenths, sticking: RLRL, play: {R: snare ghost, L: snare ghost},"
     " accents: each &, kick: each beat, hat-foot: each &, repeat: 8}",
     {60, 100, 130}},
};

static uint32_t tenths_of(const char *exercise, enum player_level level, const char **limit)
{
    static char text[1000], words[200];
    snprintf(text, sizeof text, "title: T\nexercises:\n  - %s\n", exercise);
    struct built built = built_right(text);
    play_check(built.score, &(struct play_options){.limits = limits_builtin(level)}, NULL);
    const struct verdict *verdict = built.score->exercises[0].verdict;
    ck_assert_int_eq(verdict->kind, VERDICT_TEMPO);
    snprintf(words, sizeof words, "%s", play_limit_words(built.score, verdict));
    uint32_t tenths = verdict->max_tenths;
    *limit = words;
    built_release(&built);
    return tenths;
}

START_TEST(ordinary_material_is_allowed)
{
    for (int level = 0; level < LEVEL_COUNT; level++) {
        const char *limit;
        unsigned wanted = ordinary[_i].tempos[level];
        uint32_t tenths = tenths_of(ordinary[_i].exercise, (enum player_level)level, &limit);
        ck_assert_msg(tenths >= 10 * wanted, "%s, %s: %u.%u by %s, not %u", ordinary[_i].material,
                      limits_builtin((enum player_level)level)->name, tenths / 10, tenths % 10,
                      limit, wanted);
    }
}
END_TEST

/* Strokes a second that nobody was ever measured at, over some seconds: one hand 10 Hz (Fujii and
   others, Neurosci. Lett. 2009); both hands 1,208 strokes in 60 s (drumming contest, news reports
   of July 2013); a stick's rebound 40 ms (Hajian, Sanchez, Howe, Proc. IEEE ICRA 1997); both feet
   1,034 strokes in 60 s (contest reports, from memory), so one foot half of that. */
static const struct {
    const char *material, *exercise;
    double tempo; /* quarters a minute at that rate */
} beyond[] = {
    {"one hand in sixteenths", "{subdivision: sixteenths, sticking: R, repeat: 16}", 150},
    {"both hands in sixteenths", "{subdivision: sixteenths, sticking: RL, repeat: 16}", 302},
    {"double strokes in sixteenths", "{subdivision: sixteenths, sticking: RRLL, repeat: 16}", 375},
    {"both feet in sixteenths",
     "{subdivision: sixteenths, sticking: R... .... .... ...., play: {R: crash}, repeat: 16, feet:"
     " {subdivision: sixteenths, sticking: RL, play: {RF: bass-drum, LF: second-bass-drum}}}",
     258.5},
    {"one foot in eighths", "{subdivision: eighths, kick: eighths, repeat: 16}", 258.5},
    {"one hand from the ride to the left crash and back, 91 cm, at the rate of one on the spot",
     "{rhythm: 16*16, sticking: RRRR RRRR RRRR RRRR, voices: ride crash ride crash ride crash ride"
     " crash ride crash ride crash ride crash ride crash, repeat: 16}",
     150},
};

START_TEST(what_nobody_was_measured_at_is_refused)
{
    for (int level = 0; level < LEVEL_COUNT; level++) {
        const char *limit;
        uint32_t tenths = tenths_of(beyond[_i].exercise, (enum player_level)level, &limit);
        ck_assert_msg(tenths < 10 * beyond[_i].tempo, "%s, %s: %u.%u by %s", beyond[_i].material,
                      limits_builtin((enum player_level)level)->name, tenths / 10, tenths % 10,
                      limit);
    }
}
END_TEST

/* What is easier for nobody is not easier for a level either: each row of the table in order. */
START_TEST(levels_are_in_order)
{
    uint32_t tenths[LEVEL_COUNT];
    const char *limit;
    for (int level = 0; level < LEVEL_COUNT; level++)
        tenths[level] = tenths_of(ordinary[_i].exercise, (enum player_level)level, &limit);
    ck_assert_uint_lt(tenths[LEVEL_BEGINNER], tenths[LEVEL_INTERMEDIATE]);
    ck_assert_uint_lt(tenths[LEVEL_INTERMEDIATE], tenths[LEVEL_ADVANCED]);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("tempi");
    tcase_set_timeout(tcase, 300);
    tcase_add_loop_test(tcase, ordinary_material_is_allowed, 0, sizeof ordinary / sizeof *ordinary);
    tcase_add_loop_test(tcase, levels_are_in_order, 0, sizeof ordinary / sizeof *ordinary);
    tcase_add_loop_test(tcase, what_nobody_was_measured_at_is_refused, 0,
                        sizeof beyond / sizeof *beyond);
    Suite *suite = suite_create("tempi");
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
