/*
 * Playability against worked cases, by number: worked out by hand from the model's formulas and the
 * default figures, in a calculation of its own.
 */
#include "../generate/generate.h"
#include "built.h"

#include "base/buffer.h"
#include "play/play.h"
#include "play/reach.h"
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct verdict *judged(const struct built *built, enum player_level level)
{
    play_check(built->score, &(struct play_options){.limits = limits_builtin(level)}, NULL);
    const struct verdict *verdict = built->score->exercises[0].verdict;
    ck_assert_ptr_nonnull(verdict);
    return verdict;
}

/* The highest tempo, rounded down to a tenth: advanced, intermediate, beginner; and what limits it
   at each level, a limb's letters and the kind of move. */
static const struct {
    const char *name, *exercise;
    double tempo[3]; /* before rounding down */
    const char *limit[3];
} cases[] = {
    {"1: RRLL in sixteenth triplets",
     "  - {subdivision: sixteenth triplets, sticking: RRLL, repeat: 20}\n",
     {166.67, 105.82, 60.61},
     {"RH bounce", "LH bounce", "LH bounce"}},
    {"2: RLRL in sixteenths",
     "  - {subdivision: sixteenths, sticking: RLRL, repeat: 20}\n",
     {214.285, 158.73, 109.09},
     {"RH sustain", "LH sustain", "LH sustain"}},
    {"3: one-handed sixteenths on the hi-hat",
     "  - {subdivision: sixteenths, sticking: R, play: {R: hi-hat}, repeat: 20}\n",
     {107.14, 83.33, 60.00},
     {"RH sustain", "RH sustain", "RH sustain"}},
    {"4: bass drum, two strokes a sixteenth apart once a bar",
     "  - {subdivision: sixteenths, kick: 1 1e, repeat: 20}\n",
     {150.00, 100.00, 62.50},
     {"RF bounce", "RF bounce", "RF bounce"}},
    {"4: bass drum in eighths",
     "  - {subdivision: eighths, kick: eighths, repeat: 20}\n",
     {171.42, 125.00, 85.71},
     {"RF sustain", "RF sustain", "RF sustain"}},
    {"5: sixteenth hi-hat RLRL, the right hand to the snare on 2 and 4 and back",
     "  - {subdivision: sixteenths, sticking: RLRL, play: {R: hi-hat, L: hi-hat},\n"
     "     at: {2: snare, 4: snare}, repeat: 20}\n",
     {214.285, 158.73, 109.09},
     {"RH sustain", "LH sustain", "LH sustain"}},
    {"6: a fill down the drums",
     "  - {subdivision: sixteenths, sticking: RLRL,\n"
     "     voices: snare*4 high-tom*4 mid-tom*4 floor-tom*4}\n",
     {219.895, 162.60, 112.29},
     {"RH sustain", "LH sustain", "LH sustain"}},
    {"6: the same to the right crash",
     "  - {subdivision: sixteenths, sticking: RLRL, bars: [\n"
     "     {voices: snare*4 high-tom*4 mid-tom*4 floor-tom*4},\n"
     "     {sticking: R . . . | . . . . | . . . . | . . . ., voices: second-crash}]}\n",
     {214.285, 162.60, 112.29},
     {"RH sustain", "LH sustain", "LH sustain"}},
    {"7: paradiddle",
     "  - {subdivision: sixteenths, sticking: RLRR LRLL, repeat: 20}\n",
     {250.00, 158.73, 90.91},
     {"RH bounce", "LH bounce", "LH bounce"}},
    {"8: a flam, its grace hand a sixteenth earlier",
     "  - {subdivision: sixteenths, sticking: \". . . . | . . . L | lR . . . | . . . .\"}\n",
     {107.14, 82.19, 61.22},
     {"LH repeat", "LH repeat", "LH repeat"}},
    {"9: rock beat",
     "  - {subdivision: eighths, sticking: R R B R R R B R, play: {R: hi-hat, L: snare},\n"
     "     kick: 1 1& 3, repeat: 20}\n",
     {214.285, 166.67, 120.00},
     {"RH sustain", "RH sustain", NULL}},
    {"11: one hand in eighths between the left crash and the floor tom",
     "  - {rhythm: 8*8, sticking: RRRRRRRR, voices: crash floor-tom crash floor-tom crash "
     "floor-tom crash"
     " floor-tom, repeat: 20}\n",
     {186.87, 162.49, 101.92},
     {"RH travel", "RH travel", "RH travel"}},
    {"10: ride pattern in swing 2:1",
     "  - {subdivision: eighths, swing: 2/3, sticking: R . R R R . R R, play: {R: ride},\n"
     "     hat-foot: 2 4, repeat: 20}\n",
     {333.33, 222.22, 133.33},
     {"RH bounce", "RH bounce", "RH bounce"}},
    {"10: the same, written in triplets",
     "  - {subdivision: eighth triplets, sticking: R . . R . R, play: {R: ride},\n"
     "     hat-foot: 2 4, repeat: 20}\n",
     {333.33, 222.22, 133.33},
     {"RH bounce", "RH bounce", "RH bounce"}},
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

/* ---- Fitts's law --------------------------------------------------------------------------- */

/* The 1 oz rows of Fitts's reciprocal tapping (J. Exp. Psychol. 47, 1954, as re-printed in
   Table 17.1 of MacKenzie, Wiley handbook of HCI, 2018): A and W in inches, ID in bits, MT in ms.
 */
static const struct {
    double a, w, id, mt;
} fitts[] = {{2, 0.25, 4, 392},  {2, 0.5, 3, 281},  {2, 1, 2, 212},  {2, 2, 1, 180},
             {4, 0.25, 5, 484},  {4, 0.5, 4, 372},  {4, 1, 3, 260},  {4, 2, 2, 203},
             {8, 0.25, 6, 580},  {8, 0.5, 5, 469},  {8, 1, 4, 357},  {8, 2, 3, 279},
             {16, 0.25, 7, 731}, {16, 0.5, 6, 595}, {16, 1, 5, 481}, {16, 2, 4, 388}};

/* The fit's own residuals on rows of 2 to 6 bits: -36.9 to +14.0 ms (measured - line); its r is
   .9831 over all (MacKenzie, Human-Computer Interaction 7, 1992). */
START_TEST(moves_follow_fitts_table)
{
    double sum = 0, squares = 0, mean = 0, spread = 0;
    int rows = sizeof fitts / sizeof *fitts;
    for (int i = 0; i < rows; i++)
        mean += fitts[i].mt / rows;
    for (int i = 0; i < rows; i++) {
        double line = reach_hand_ms(fitts[i].a * 2.54, fitts[i].w * 2.54);
        double rest = fitts[i].mt - line;
        ck_assert_double_eq_tol(line, 12.8 + 94.7 * fitts[i].id, 1e-9);
        if (fitts[i].id >= 2 && fitts[i].id <= 6)
            ck_assert_msg(rest > -37 && rest < 14.1, "row %d: %.1f", i, rest);
        sum += rest;
        squares += rest * rest;
        spread += (fitts[i].mt - mean) * (fitts[i].mt - mean);
    }
    ck_assert_double_lt(fabs(sum / rows), 1);
    ck_assert_double_eq_tol(sqrt(1 - squares / spread), 0.9831, 0.0001);
}
END_TEST

/* Distances and widths of the default kit, and the times that follow: worked out from places and
   diameters, reach 100 %. Rows from, columns to: snare, hi-hat, toms 1 and 2, floor tom, ride,
   crashes left and right.
 */
static const enum voice_builtin places[] = {VOICE_SNARE,   VOICE_HI_HAT,      VOICE_HIGH_TOM,
                                            VOICE_MID_TOM, VOICE_FLOOR_TOM,   VOICE_RIDE,
                                            VOICE_CRASH,   VOICE_SECOND_CRASH};
static const int kit_ms[8][8] = {
    {0, 172, 212, 223, 177, 190, 187, 212}, {172, 0, 213, 261, 252, 227, 110, 225},
    {166, 167, 0, 151, 207, 160, 113, 164}, {202, 240, 176, 0, 160, 58, 179, 106},
    {200, 274, 276, 204, 0, 118, 238, 181}, {242, 279, 258, 131, 148, 0, 217, 68},
    {239, 162, 211, 252, 268, 217, 0, 195}, {279, 293, 278, 195, 226, 84, 211, 0}};

START_TEST(the_kit_is_as_far_as_was_worked_out)
{
    for (int from = 0; from < 8; from++)
        for (int to = 0; to < 8; to++) {
            const struct voice *a = voice_builtin(places[from]), *b = voice_builtin(places[to]);
            double x = a->x_cm - b->x_cm, y = a->y_cm - b->y_cm, z = a->z_cm - b->z_cm;
            double away = sqrt(x * x + y * y + z * z);
            if (from != to)
                ck_assert_int_eq((int)lround(reach_hand_ms(away, voice_width_cm(b))),
                                 kit_ms[from][to]);
        }
}
END_TEST

/* Between the hi-hat's pedal and the second bass drum's: 319.4 ms (Drury 1975, A 22 cm, W 9 cm). */
START_TEST(a_foot_takes_its_time_from_pedal_to_pedal)
{
    ck_assert_double_eq_tol(reach_foot_ms(22, 9), 319.4, 0.05);
    struct built built =
        built_right("title: T\nexercises:\n  - subdivision: quarters\n    feet:\n"
                    "      subdivision: quarters\n      sticking: L\n"
                    "      play: {L: [hi-hat-foot, second-bass-drum]}\n    repeat: 2\n");
    const struct verdict *verdict = judged(&built, LEVEL_ADVANCED);
    ck_assert_int_eq(verdict->limit.kind, MOVE_TRAVEL);
    ck_assert_int_eq(verdict->limit.limb, LIMB_LEFT_FOOT);
    ck_assert_uint_eq(verdict->max_tenths, 1878); /* 60000 / 319.4 */
    built_release(&built);
}
END_TEST

/* ---- rates --------------------------------------------------------------------------------- */

static struct built groove(const char *sticking)
{
    return built_right(arena_format(arena,
                                    "title: T\nexercises:\n  - subdivision: sixteenths\n"
                                    "    sticking: %s\n    repeat: 8\n",
                                    sticking));
}

/* Strokes a second of one hand, and whether an advanced player is let: 400 a minute was the fastest
   asked of experts (Motor Control 25, 2021); sixteenths of 156 ms for a whole song (Rasanen and
   others, PLoS ONE 2015); 10 Hz the fastest ever measured (Fujii and others, Neurosci. Lett. 2009).
 */
START_TEST(rates_of_the_literature)
{
    struct built one = groove("R");
    uint32_t tenths = judged(&one, LEVEL_ADVANCED)->max_tenths;
    double rate = tenths / 10.0 / 60 * 4; /* four a quarter */
    ck_assert_double_ge(rate, 400.0 / 60);
    ck_assert_double_ge(rate, 1000.0 / 156.25);
    ck_assert_double_lt(rate, 10);
    built_release(&one);
    /* steady rolls of 73 ms a stroke occur (Groove MIDI Dataset) */
    struct built rolls = groove("RRLL");
    ck_assert_double_ge(judged(&rolls, LEVEL_ADVANCED)->max_tenths / 10.0, 60000 / 73.0 / 4);
    built_release(&rolls);
    /* 1,208 strokes of both hands in 60 s, the contest's record: more than an advanced player's */
    struct built both = groove("RL");
    ck_assert_double_lt(judged(&both, LEVEL_ADVANCED)->max_tenths / 10.0 * 4, 1208);
    built_release(&both);
}
END_TEST

/* Whatever a course sets, nobody is let play faster than was ever measured. */
START_TEST(no_level_is_faster_than_the_fastest)
{
    struct limits fastest = *limits_builtin(LEVEL_ADVANCED);
    for (int key = 0; key < LIMIT_KEY_COUNT; key++)
        fastest.values[key] = limit_range((enum limit_key)key).least *
                              (limit_unit((enum limit_key)key) == UNIT_MS ? 1000 : 1);
    fastest.values[LIMIT_STROKES] = 9;
    fastest.values[LIMIT_BOUNCES] = 8;
    struct play_options options = {.limits = &fastest};
    struct built one = groove("R"), both = groove("RL"), rolls = groove("RRLL");
    play_check(one.score, &options, NULL);
    ck_assert_uint_eq(one.score->exercises[0].verdict->max_tenths, 1500); /* 10 Hz */
    play_check(both.score, &options, NULL);
    ck_assert_uint_le(both.score->exercises[0].verdict->max_tenths * 4 / 10, 1208);
    play_check(rolls.score, &options, NULL);
    ck_assert_uint_eq(rolls.score->exercises[0].verdict->max_tenths, 3750); /* 40 ms */
    built_release(&one);
    built_release(&both);
    built_release(&rolls);
}
END_TEST

/* ---- conflicts ----------------------------------------------------------------------------- */

/* Case 9's variants, and others that no tempo helps. */
static const struct {
    const char *exercise;
    bool possible;
} conflicts[] = {
    {"{subdivision: eighths, sticking: RRBRRRBR, play: {R: hi-hat, L: snare}}", true},
    {"{subdivision: eighths, sticking: RRBRRRBR, play: {R: hi-hat, L: snare}, at: {2: flam}}",
     false},
    {"{subdivision: eighths, sticking: RRRR, play: {R: hi-hat}, at: {2: flam}}", true},
    {"{subdivision: eighths, sticking: RRRR, play: {R: hi-hat}, feet: {subdivision: quarters,"
     " sticking: L, play: {L: second-bass-drum}}}",
     false},
    {"{subdivision: eighths, sticking: RRRR, play: {R: open-hi-hat}, feet: {subdivision: quarters,"
     " sticking: L, play: {L: second-bass-drum}}}",
     true},
    {"{subdivision: eighths, sticking: RRRR, play: {R: open-hi-hat}, hat-foot: 1}", true},
    {"{subdivision: eighths, sticking: RRRR, play: {R: hi-hat}, hat-foot: 1}", true},
    {"{subdivision: quarters, sticking: B, play: {R: ride-bell, L: ride-bell}}", false},
    {"{subdivision: quarters, sticking: B, play: {R: ride-bell, L: snare}}", true},
};

START_TEST(what_no_tempo_makes_possible)
{
    struct built built =
        built_right(arena_format(arena, "title: T\nexercises:\n  - %s\n", conflicts[_i].exercise));
    const struct verdict *verdict = judged(&built, LEVEL_ADVANCED);
    ck_assert_msg((verdict->kind != VERDICT_IMPOSSIBLE) == conflicts[_i].possible, "%s",
                  conflicts[_i].exercise);
    built_release(&built);
}
END_TEST

START_TEST(a_clutch_holds_the_hats)
{
    struct built built = built_right(
        "title: T\nkit: {hats: held}\nexercises:\n  - {subdivision: eighths, sticking: RRRR,\n"
        "     play: {R: hi-hat}, feet: {subdivision: quarters, sticking: L,\n"
        "     play: {L: second-bass-drum}}}\n");
    ck_assert_int_eq(judged(&built, LEVEL_ADVANCED)->kind, VERDICT_TEMPO);
    built_release(&built);
}
END_TEST

/* Case 9: an open hat on 4-and, closed on 1, is half a beat: 300, 200, 150; a sixteenth: half. */
START_TEST(open_hats_have_to_close)
{
    static const uint32_t wanted[] = {3000, 2000, 1500};
    for (int sixteenth = 0; sixteenth < 2; sixteenth++) {
        struct built built =
            built_right(arena_format(arena,
                                     "title: T\nexercises:\n  - {rhythm: %s, sticking: L R,\n"
                                     "     voices: open-hi-hat hi-hat}\n",
                                     sixteenth ? "16 8. _4 _2" : "8 8 _4 _2"));
        for (int i = 0; i < 3; i++) {
            const struct verdict *verdict = judged(&built, (enum player_level)(LEVEL_ADVANCED - i));
            ck_assert_int_eq(verdict->limit.kind, MOVE_HAT_CLOSE);
            ck_assert_uint_eq(verdict->max_tenths, wanted[i] / (sixteenth ? 2 : 1));
        }
        built_release(&built);
    }
}
END_TEST

/* The hats are already open for the grace note of a flam on them. */
START_TEST(a_flam_on_open_hats_closes_nothing)
{
    struct built built = built_right("title: T\nexercises:\n  - {rhythm: 16 16 8 _4 _2,\n"
                                     "     sticking: R lR L, voices: open-hi-hat*3}\n");
    ck_assert_int_ne(judged(&built, LEVEL_ADVANCED)->limit.kind, MOVE_HAT_CLOSE);
    built_release(&built);
}
END_TEST

/* ---- left-handed --------------------------------------------------------------------------- */

/* A pulse holds until another tempo is written: through a change of meter, and into each ending
   from the last bar that all endings share. The second of each pair writes the tempo out. */
static const struct {
    const char *implied, *said;
} pulses[] = {
    {"{subdivision: quarters, sticking: RL}, {pulse: 4=8}, "
     "{time: 2/4, subdivision: sixteenths, sticking: RRRR}]",
     "{subdivision: quarters, sticking: RL}, {pulse: 4=8}, "
     "{time: 2/4, pulse: 4=4, subdivision: sixteenths, sticking: RRRR}]"},
    {"{subdivision: quarters, sticking: RL}], endings: {1: {pulse: 4=2}, "
     "2: {subdivision: sixteenths, sticking: RRRR}}",
     "{subdivision: quarters, sticking: RL}], endings: {1: {pulse: 4=2}, "
     "2: {pulse: 4=4, subdivision: sixteenths, sticking: RRRR}}"},
};

START_TEST(a_pulse_holds_until_another_tempo_is_written)
{
    uint32_t tenths[2];
    for (int i = 0; i < 2; i++) {
        const char *bars = i ? pulses[_i].said : pulses[_i].implied;
        struct built built = built_right(
            arena_format(arena, "title: T\ntempo: 60\nexercises:\n  - {bars: [%s}\n", bars));
        tenths[i] = judged(&built, LEVEL_ADVANCED)->max_tenths;
        built_release(&built);
    }
    ck_assert_uint_gt(tenths[0], 0);
    ck_assert_uint_eq(tenths[0], tenths[1]);
}
END_TEST

static uint8_t other_limb(uint8_t limb)
{
    return limb < LIMB_COUNT ? limb ^ 1 : limb;
}

static void mirror_note(struct note *note)
{
    for (size_t i = 0; i < note->hit_count; i++)
        note->hits[i].limb = other_limb(note->hits[i].limb);
    if (note->letter && note->letter != 'B')
        note->letter = note->letter == 'R' ? 'L' : 'R';
    if (note->letter)
        note->graces = (uint8_t)(~note->graces & ((1u << note->grace_count) - 1u));
    note->proposed = 0;
}

/* Every limb becomes the other one, on a kit that stands the other way round. */
static void mirror(struct built *built)
{
    ((struct lesson *)built->lesson)->kit.left_handed ^= true;
    for (size_t e = 0; e < built->score->exercise_count; e++) {
        struct score_exercise *exercise = &built->score->exercises[e];
        exercise->mirrored ^= true;
        for (size_t b = 0; b < exercise->bar_count; b++)
            for (int l = 0; l < LINE_COUNT && !signs_play_nothing_new(exercise->bars[b].signs); l++)
                for (uint32_t i = 0; i < exercise->bars[b].lines[l].leaf_count; i++) {
                    struct leaf *leaf = &exercise->bars[b].lines[l].leaves[i];
                    if (leaf_struck(leaf))
                        mirror_note(leaf->note);
                }
    }
}

START_TEST(a_mirrored_lesson_has_the_same_verdicts)
{
    size_t tempos = 0;
    for (uint64_t seed = 1; seed <= 250; seed++) {
        struct built built = built_right(generate_lesson(arena, seed));
        struct play_options options = {.limits =
                                           limits_builtin((enum player_level)(seed % LEVEL_COUNT))};
        play_check(built.score, &options, NULL);
        struct verdict *before =
            arena_array(built.arena, built.score->exercise_count, sizeof *before);
        for (size_t i = 0; i < built.score->exercise_count; i++)
            before[i] = *built.score->exercises[i].verdict;
        mirror(&built);
        play_check(built.score, &options, NULL);
        for (size_t i = 0; i < built.score->exercise_count; i++) {
            const struct verdict *after = built.score->exercises[i].verdict;
            ck_assert_int_eq(after->kind, before[i].kind);
            ck_assert_uint_eq(after->max_tenths, before[i].max_tenths);
            if (after->kind != VERDICT_TEMPO)
                continue;
            ck_assert_int_eq(after->limit.limb, other_limb(before[i].limit.limb));
            ck_assert_int_eq(after->limit.kind, before[i].limit.kind);
            ck_assert_int_eq(after->limit.from, before[i].limit.from);
            ck_assert_int_eq(after->limit.to, before[i].limit.to);
            ck_assert_ptr_eq(after->limit.note, before[i].limit.note);
            tempos++;
        }
        built_release(&built);
    }
    ck_assert_uint_gt(tempos, 500);
}
END_TEST

/* The same in a teacher's words: `handed` and the other letters. */
START_TEST(a_left_handed_lesson_has_the_same_verdict)
{
    struct built right =
        built_right("title: T\nexercises:\n  - {subdivision: sixteenths, sticking: "
                    "RLRR LRLL, play: {R: ride, L: high-tom}, kick: 1 1e}\n");
    struct built left = built_right("title: T\nkit: {handed: left}\nexercises:\n"
                                    "  - {subdivision: sixteenths, sticking: LRLL RLRR,\n"
                                    "     play: {L: ride, R: high-tom}, kick: 1 1e}\n");
    for (int level = 0; level < LEVEL_COUNT; level++) {
        const struct verdict *a = judged(&right, (enum player_level)level);
        const struct verdict *b = judged(&left, (enum player_level)level);
        ck_assert_uint_eq(a->max_tenths, b->max_tenths);
        ck_assert_int_eq(a->limit.limb, other_limb(b->limit.limb));
    }
    built_release(&right);
    built_release(&left);
}
END_TEST

/* An exercise has one verdict, alone or repeated, whatever was judged before it. Two in a row are
 * no faster than the slower one, even if they divide the beat differently. */
START_TEST(a_form_is_as_fast_as_its_exercise)
{
    struct built built =
        built_right("title: T\nexercises:\n"
                    "  - {id: q, rhythm: 8 16 16 8 8 8 8 4, voices: snare*4 floor-tom*4}\n"
                    "  - {id: t, subdivision: eighth-triplets, voices: snare floor-tom high-tom}\n"
                    "  - {id: w, subdivision: eighth-triplets, sticking: R}\n"
                    "  - sequence: q\n  - sequence: q*2\n  - sequence: t\n  - sequence: q t\n"
                    "  - sequence: w\n");
    const struct score_exercise *exercises = built.score->exercises;
    for (int level = LEVEL_COUNT; level-- > 0;) {
        judged(&built, (enum player_level)level);
        uint32_t q = exercises[0].verdict->max_tenths, t = exercises[1].verdict->max_tenths;
        ck_assert_uint_eq(exercises[3].verdict->max_tenths, q);
        ck_assert_uint_eq(exercises[4].verdict->max_tenths, q);
        ck_assert_uint_eq(exercises[5].verdict->max_tenths, t);
        ck_assert_uint_le(exercises[6].verdict->max_tenths, q < t ? q : t);
        ck_assert_uint_gt(exercises[6].verdict->max_tenths, (q < t ? q : t) / 2);
        ck_assert_uint_eq(exercises[7].verdict->max_tenths, exercises[2].verdict->max_tenths);
        for (size_t i = 0; i < built.score->exercise_count; i++)
            ck_assert(exercises[i].verdict->proposed == (i != 2 && i != 7));
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
    tcase_add_test(tcase, moves_follow_fitts_table);
    tcase_add_test(tcase, the_kit_is_as_far_as_was_worked_out);
    tcase_add_test(tcase, a_foot_takes_its_time_from_pedal_to_pedal);
    tcase_add_test(tcase, rates_of_the_literature);
    tcase_add_test(tcase, no_level_is_faster_than_the_fastest);
    tcase_add_loop_test(tcase, what_no_tempo_makes_possible, 0,
                        sizeof conflicts / sizeof *conflicts);
    tcase_add_loop_test(tcase, a_pulse_holds_until_another_tempo_is_written, 0,
                        sizeof pulses / sizeof *pulses);
    tcase_add_test(tcase, a_form_is_as_fast_as_its_exercise);
    tcase_add_test(tcase, a_clutch_holds_the_hats);
    tcase_add_test(tcase, open_hats_have_to_close);
    tcase_add_test(tcase, a_flam_on_open_hats_closes_nothing);
    tcase_add_test(tcase, a_mirrored_lesson_has_the_same_verdicts);
    tcase_add_test(tcase, a_left_handed_lesson_has_the_same_verdict);
    Suite *suite = suite_create("play");
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
