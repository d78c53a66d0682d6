/* What is said of a whole score: limbs in two places, stickings that do not come home. */
#include "built.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct built checked(const char *text)
{
    struct built built = built_any(text);
    check_score(built.score, built.diags);
    return built;
}

static void expect_clash(const char *text, uint32_t line, uint32_t column, const char *says)
{
    struct built built = checked(text);
    const struct diag *diag = built_finding(&built, DIAG_LIMB_CLASH, line, column);
    ck_assert_msg(strstr(diag->message, says) != NULL, "%s", diag->message);
    built_release(&built);
}

static void expect_peace(const char *text)
{
    struct built built = checked(text);
    ck_assert_uint_eq(built_count(&built, DIAG_LIMB_CLASH), 0);
    ck_assert_uint_eq(diags_errors(built.diags), 0);
    built_release(&built);
}

#define LADDER_LESSON "subdivision: quarters\nexercises:\n  - {title: E, sticking: RL"

static const struct {
    const char *text;
    const char *says; /* NULL: nothing */
    uint32_t line, column;
} ladders[] = {
    {"title: T\nshow: {ladder: yes}\n" LADDER_LESSON "}\n", "there is no tempo", 2, 16},
    {"tempo: 90\nshow: ladder\n" LADDER_LESSON "}\n", "there is only one tempo", 2, 7},
    {"tempo: 60 to 90\nshow: [key, ladder]\n" LADDER_LESSON "}\n", "the tempo is gradual", 2, 13},
    {"tempo: 60-90\n" LADDER_LESSON ", show: ladder}\n", "has the lesson's tempo", 4, 36},
    {"title: T\n" LADDER_LESSON ", show: ladder, tempo: 80}\n", "only one tempo", 4, 36},
    {"tempo: 60-90\nshow: ladder\n" LADDER_LESSON "}\n", NULL, 0, 0},
    {"tempo: 60 72 84\nshow: {ladder: yes}\n" LADDER_LESSON "}\n", NULL, 0, 0},
    {"title: T\nshow: ladder\n" LADDER_LESSON ", tempo: 60-90}\n", NULL, 0, 0},
    {"title: T\n" LADDER_LESSON ", lead: both, show: ladder, tempo: 60-90}\n", NULL, 0, 0},
    {"tempo: 90\nshow: {ladder: no}\n" LADDER_LESSON "}\n", NULL, 0, 0},
    {"tempo: 90\nshow: {ladder: limit}\n" LADDER_LESSON "}\n", NULL, 0, 0},
};

START_TEST(a_ladder_that_has_no_steps_is_told)
{
    struct built built = checked(ladders[_i].text);
    ck_assert_uint_eq(built_count(&built, DIAG_NO_EFFECT), ladders[_i].says != NULL);
    if (ladders[_i].says) {
        const struct diag *diag =
            built_finding(&built, DIAG_NO_EFFECT, ladders[_i].line, ladders[_i].column);
        ck_assert_msg(strstr(diag->message, ladders[_i].says) != NULL, "%s", diag->message);
    }
    ck_assert_uint_eq(diags_errors(built.diags), 0);
    built_release(&built);
}
END_TEST

START_TEST(one_hand_cannot_strike_two_voices)
{
    expect_clash("title: T\nexercises:\n  - title: E\n    bars:\n"
                 "      - rhythm: 4 4 4 4\n        sticking: R L R L\n"
                 "        voices: snare snare crash+ride snare\n",
                 6, 23, "the right hand cannot strike the crash and the ride");
}
END_TEST

START_TEST(two_hands_cannot_strike_three_voices)
{
    expect_clash("title: T\nexercises:\n  - title: E\n    bars:\n"
                 "      - rhythm: 4 4 4 4\n        voices: snare*3 crash+ride+snare\n",
                 5, 23, "3 hand strokes");
}
END_TEST

START_TEST(one_foot_cannot_play_two_voices)
{
    expect_clash("title: T\nexercises:\n  - title: E\n    bars:\n"
                 "      - rhythm: 4 4 4 4\n        voices: snare*3 crash+foot-splash\n"
                 "        hat-foot: 4\n",
                 7, 19, "the left foot cannot strike");
}
END_TEST

START_TEST(a_stroke_of_every_round_is_reported_once)
{
    expect_clash("title: T\nsubdivision: eighths\nexercises:\n  - title: E\n    bars: 8\n"
                 "    sticking: RL\n    play: {R: ride+snare}\n",
                 6, 15, "the ride and the snare");
}
END_TEST

START_TEST(four_limbs_may_play_at_once)
{
    expect_peace("title: T\nsubdivision: quarters\nexercises:\n  - title: E\n    sticking: B\n"
                 "    play: {R: ride, L: snare}\n    kick: each beat\n    hat-foot: each beat\n");
    expect_peace("title: T\nexercises:\n  - title: E\n    bars:\n"
                 "      - rhythm: 4 4 4 4\n        sticking: B B B B\n"
                 "        voices: crash+snare*4\n");
    /* asked for by a word of the hands and by a count: one stroke of the foot */
    expect_peace("title: T\nexercises:\n  - title: E\n    bars:\n"
                 "      - rhythm: 4 4 4 4\n        voices: crash+bass-drum snare*3\n"
                 "        kick: 1\n");
}
END_TEST

START_TEST(a_repeated_sticking_that_stays_open_is_a_warning)
{
    struct built built = checked("title: T\nsubdivision: sixteenths\nexercises:\n"
                                 "  - title: E\n    sticking: RLRLL\n    repeat: 4\n");
    const struct diag *diag = built_finding(&built, DIAG_STICKING_OPEN, 6, 13);
    ck_assert_int_eq(diag->severity, DIAG_SEVERITY_WARNING);
    ck_assert_ptr_nonnull(
        strstr(diag->message, "it needs 5 bars to line up with beat 1 again, and has 1"));
    ck_assert_ptr_nonnull(strstr(diag->message, "begins with the wrong hand"));
    built_release(&built);
}
END_TEST

START_TEST(a_cycle_is_told_once_with_its_rounds)
{
    struct built built = checked("title: T\nsubdivision: sixteenths\nexercises:\n"
                                 "  - title: E\n    sticking: RLLRRL\n    bars: resolve\n"
                                 "    lead: both\n");
    const struct diag *diag = built_finding(&built, DIAG_STICKING_CYCLE, 5, 15);
    ck_assert_int_eq(diag->severity, DIAG_SEVERITY_NOTE);
    ck_assert_str_eq(diag->message,
                     "the 6-stroke sticking lines up with beat 1 again after 3 bars (8 times "
                     "through); the bars begin with R R L");
    ck_assert_uint_eq(built_count(&built, DIAG_STICKING_OPEN), 0);
    built_release(&built);
}
END_TEST

/* ---- rudiments ----------------------------------------------------------------------------- */

/* Of the published list (PAS, 1984, tests/outside/rudiments.tsv) each figure is known as itself,
   and so are its rotations and mirrors where nothing else is the same row. */
static const struct {
    const char *sticking, *note; /* NULL: none */
} stickings[] = {
    {"RLRR LRLL", "this sticking is the single paradiddle"},
    {"RLLR LRRL", "this sticking is the single paradiddle, starting on its 6th stroke"},
    {"RRLR LLRL", "this sticking is the single paradiddle, starting on its 3rd stroke"},
    {"LRLL RLRR", "this sticking is the single paradiddle, starting on its 5th stroke"},
    {"RLRRLL", "this sticking is the single paradiddle-diddle"},
    {"LRLLRR", "this sticking is the single paradiddle-diddle with hands swapped"},
    {"RLLRRL", "this sticking is the six stroke roll"}, /* its diddles as single strokes */
    {"RL", "this sticking is the single stroke roll"},
    {"R . L .", "this sticking is the single stroke roll"},
    {"LLRR", "this sticking is the double stroke open roll, starting on its 3rd stroke"},
    {"lR L R rL R L", "this sticking is the flam accent"},
    {"rL L R", "this sticking is the swiss army triplet with hands swapped"},
    {"R(L)R>R (LR)L>L", "this sticking is the single paradiddle"},
    {"RLRRLRLL RLRLRLLL", "strokes 1 to 8 of this sticking are the single paradiddle"},
    {"RLLL RLLR", NULL},
    {"single paradiddle", NULL}, /* the lesson itself names it */
    {"auto", NULL},
};

START_TEST(rudiments_are_named)
{
    char text[160];
    snprintf(text, sizeof text,
             "title: T\nexercises:\n  - subdivision: sixteenths\n    sticking: %s\n",
             stickings[_i].sticking);
    struct built built = built_right(text);
    check_stickings(built.score, built.diags);
    if (stickings[_i].note) {
        const struct diag *diag = built_finding(&built, DIAG_RUDIMENT, 4, 15);
        ck_assert_str_eq(diag->message, stickings[_i].note);
    } else {
        ck_assert_uint_eq(built_count(&built, DIAG_RUDIMENT), 0);
    }
    built_release(&built);
}
END_TEST

/* A rudiment's strokes count as the rudiment in its own rhythm (from the published list) or, as it
 * is often practised, in even notes. In any other rhythm they do not. */
static const struct {
    const char *rhythm, *sticking, *note; /* NULL: none */
} rhythms[] = {
    {"8 16 16 | 8 16 16 | 8 8 | 8 8", "RLR RLL RL RR", NULL},
    {"8 8 | 8 8 | 8 8 | 8 8", "RLRR LRLL", "this sticking is the single paradiddle"},
    {"8 16 16 | 8 16 16 | 4 | _4", "RLR RLL R", NULL},
    {"3(16 16 16) 8 | 3(16 16 16) 8 | _2", "llRL RL> rrLR LR>",
     "this sticking is the single ratamacue"},
    {"8 3(16 16 16) | 8 3(16 16 16) | _2", "llRL RL> rrLR LR>", NULL},
    {"16 16 8 | 16 16 8 | _2", "llR L R> llR L R>", "this sticking is the lesson 25"},
};

START_TEST(a_rudiment_has_its_rhythm)
{
    char text[200];
    snprintf(text, sizeof text, "title: T\nexercises:\n  - rhythm: %s\n    sticking: %s\n",
             rhythms[_i].rhythm, rhythms[_i].sticking);
    struct built built = built_right(text);
    check_stickings(built.score, built.diags);
    if (rhythms[_i].note)
        ck_assert_str_eq(built_finding(&built, DIAG_RUDIMENT, 4, 15)->message, rhythms[_i].note);
    else
        ck_assert_msg(built_count(&built, DIAG_RUDIMENT) == 0, "%s", rhythms[_i].rhythm);
    built_release(&built);
}
END_TEST

START_TEST(the_hand_that_begins_each_bar_is_told)
{
    struct built built = built_right("title: T\nexercises:\n  - subdivision: sixteenths\n"
                                     "    sticking: RLLRRL\n    bars: resolve\n");
    check_score(built.score, built.diags);
    const struct diag *diag = built_finding(&built, DIAG_STICKING_CYCLE, 4, 15);
    ck_assert_ptr_nonnull(strstr(diag->message, "; the bars begin with R R L"));
    built_release(&built);
}
END_TEST

/* Phrases of the trade in the languages of pages. NULL: a text that names no hand. */
static const struct {
    const char *text, *named;
} texts[] = {
    {"Begin with the right hand.", "right hand"},
    {"Then the left takes over.", "the left"},
    {"Your left hand, and your Right Foot.", "Your left"},
    {"Turn to RLRR, please.", "RLRR"},
    {"The letter L is under the note.", "L"},
    {"Mit der rechten Hand beginnen.", "rechten Hand"},
    {"Commence par la main gauche.", "main gauche"},
    {"Con la mano izquierda.", "mano izquierda"},
    {"La mano destra resta ferma.", "mano destra"},
    {"Com a mão esquerda.", "mão esquerda"},
    {"De linkerhand begint.", "linkerhand"},
    {"Start with your right.", "your right"},
    {"Lead with the right, always.", "the right"},
    {"The right plays the bell.", "The right"},
    {"Begin on the left", "the left"},
    {"Start on your right!", "your right"},
    {"Rights on the hat, lefts on the snare", "Rights"},
    {"Play the lefts softly", "lefts"},
    {"right, then left", "right, then left"},
    {"Say: right left right right", "right left"},
    {"Left, right; no more.", "Left, right"},
    {"The rest is left out.", NULL},
    {"A lift right before the one", NULL},
    {"All right, then. Left alone, it rings.", NULL},
    {"Get it right. Left to itself, it rings.", NULL},
    {"All rights reserved.", NULL},
    {"Play what is left, then right away the one.", NULL},
    {"See the note at left, right below the title.", NULL},
    {"The bars at the right are optional; it is the right sound.", NULL},
    {"Find the right tempo, at the right time", NULL},
    {"The crash is to your right, the hat is on your left.", NULL},
    {"Begin with the {right|left} hand: {R|L}.", NULL},
    {"{Rights|Lefts} lead, {right|left}, then {left|right}", NULL},
    {"The {right|left} hand rests, the left hand plays.", "the left"},
    {"The table is on the left of the page.", NULL},
    {"Play it right, with both hands.", NULL},
    {"L'aria, and L’appel; K and B rest.", NULL},
    {"A right-handed player leads.", NULL},
    {"Words {right|left without an end}", NULL},
};

static struct built mirrored(const char *form, const char *text)
{
    char lesson[400];
    snprintf(lesson, sizeof lesson, form, text);
    struct built built = built_right(lesson);
    score_mirror(built.score, true);
    check_score(built.score, built.diags);
    return built;
}

START_TEST(a_text_that_names_a_hand_is_told_in_a_copy)
{
    struct built built = mirrored("exercises:\n  - text: >-\n      %s\n    subdivision: eighths\n"
                                  "    sticking: RL\n",
                                  texts[_i].text);
    if (texts[_i].named) {
        const struct diag *diag = built_finding(&built, DIAG_NAMED_HAND, 3, 7);
        char end[80];
        snprintf(end, sizeof end, " says '%s'", texts[_i].named);
        ck_assert_msg(strstr(diag->message, end) != NULL, "%s", diag->message);
    } else {
        ck_assert_msg(built_count(&built, DIAG_NAMED_HAND) == 0, "%s", texts[_i].text);
    }
    built_release(&built);
    built = built_any("exercises: [{text: The right hand., subdivision: eighths, sticking: RL}]\n");
    check_score(built.score, built.diags);
    ck_assert_uint_eq(built_count(&built, DIAG_NAMED_HAND), 0); /* no copy */
    built_release(&built);
}
END_TEST

/* Where a lesson can name a hand. Only the first place is reported. */
static const struct {
    const char *lesson;
    uint32_t line, column;
} places[] = {
    {"title: The left hand\nexercises: [{subdivision: eighths, sticking: RL}]\n%s", 1, 8},
    {"subtitle: The left hand\nexercises: [{subdivision: eighths, sticking: RL}]\n%s", 1, 11},
    {"notes: The left hand\nexercises: [{text: R, subdivision: eighths, sticking: RL}]\n%s", 1, 8},
    {"exercises:\n - {title: The left hand, subdivision: eighths, sticking: RL}\n%s", 2, 12},
    {"exercises:\n - {subtitle: The left hand, subdivision: eighths, sticking: RL}\n%s", 2, 15},
    {"exercises:\n - subdivision: eighths\n   sticking: RL\n   bars:\n"
     "    - words: Left hand\n    - words: {1: Left hand}\n%s",
     5, 14},
    {"exercises:\n - subdivision: eighths\n   sticking: RL\n   bars:\n"
     "    - {}\n    - words: {1: Left hand}\n%s",
     6, 18},
};

START_TEST(a_hand_is_told_once_in_a_lesson)
{
    struct built built = mirrored(places[_i].lesson, "");
    built_finding(&built, DIAG_NAMED_HAND, places[_i].line, places[_i].column);
    built_release(&built);
}
END_TEST

START_TEST(more_texts_that_name_a_hand_are_counted)
{
    static const char lesson[] = "title: The left hand\nexercises:\n - title: Rights\n"
                                 "   text: [\"%s\", Louder.]\n   subdivision: eighths\n"
                                 "   sticking: RL\n";
    struct built built = mirrored(lesson, "Softer.");
    ck_assert_ptr_nonnull(strstr(built_finding(&built, DIAG_NAMED_HAND, 1, 8)->message,
                                 " says 'The left'; also in 1 more text"));
    built_release(&built);
    built = mirrored(lesson, "Lefts");
    ck_assert_ptr_nonnull(strstr(built_finding(&built, DIAG_NAMED_HAND, 1, 8)->message,
                                 " says 'The left'; also in 2 more texts"));
    built_release(&built);
}
END_TEST

START_TEST(texts_say_what_is_for_the_player)
{
    struct built built = built_right("title: From {right|left} to {left | right}\nexercises:\n"
                                     "  - {title: 'R {a|b|c} {} {x} {|R}', subdivision: eighths, "
                                     "sticking: RL}\n");
    const char *title = built.lesson->title.text;
    for (int times = 0; times < 2; times++) {
        score_mirror(built.score, true);
        ck_assert_str_eq(title, "From left to right");
        ck_assert_str_eq(built.score->exercises[0].title, "R {a|b|c} {} {x} R");
        score_mirror(built.score, false);
        ck_assert_str_eq(title, "From right to left");
        ck_assert_str_eq(built.score->exercises[0].title, "R {a|b|c} {} {x} ");
    }
    built_release(&built);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check");
    TCase *test = tcase_create("check");
    tcase_add_loop_test(test, rudiments_are_named, 0, sizeof stickings / sizeof *stickings);
    tcase_add_loop_test(test, a_rudiment_has_its_rhythm, 0, sizeof rhythms / sizeof *rhythms);
    tcase_add_loop_test(test, a_ladder_that_has_no_steps_is_told, 0,
                        sizeof ladders / sizeof *ladders);
    tcase_add_loop_test(test, a_text_that_names_a_hand_is_told_in_a_copy, 0,
                        sizeof texts / sizeof *texts);
    tcase_add_loop_test(test, a_hand_is_told_once_in_a_lesson, 0, sizeof places / sizeof *places);
    tcase_add_test(test, more_texts_that_name_a_hand_are_counted);
    tcase_add_test(test, texts_say_what_is_for_the_player);
    tcase_add_test(test, the_hand_that_begins_each_bar_is_told);
    tcase_add_test(test, one_hand_cannot_strike_two_voices);
    tcase_add_test(test, two_hands_cannot_strike_three_voices);
    tcase_add_test(test, one_foot_cannot_play_two_voices);
    tcase_add_test(test, a_stroke_of_every_round_is_reported_once);
    tcase_add_test(test, four_limbs_may_play_at_once);
    tcase_add_test(test, a_repeated_sticking_that_stays_open_is_a_warning);
    tcase_add_test(test, a_cycle_is_told_once_with_its_rounds);
    suite_add_tcase(suite, test);
    return run_suite(suite);
}
