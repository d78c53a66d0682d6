/* Who strikes what: hands and their voices, changes by count, the feet. */
#include "built.h"
#include "model/form.h"

#include "base/buffer.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

/* An exercise of one bar of 4/4; each case gives its keys, and what comes out. */
static const struct {
    const char *keys, *hands, *strokes, *feet;
} cases[] = {
    /* nothing said: the snare; the feet do not play */
    {"subdivision: quarters, sticking: RL", "4 | 4 | 4 | 4", "R:snare L:snare R:snare L:snare", ""},
    /* both hands: each its own voice */
    {"subdivision: quarters, sticking: RB, play: {R: ride, L: snare ghost}", "4 | 4 | 4 | 4",
     "R:ride B:ride+snare() R:ride B:ride+snare()", ""},
    {"subdivision: quarters, sticking: B", "4 | 4 | 4 | 4",
     "B:snare+snare B:snare+snare B:snare+snare B:snare+snare", ""},
    /* `play` goes round by that hand's strokes, whatever stands between them */
    {"subdivision: eighths, sticking: RLRR LRLL, play: {R: [ride, crash, china], L: snare}",
     "8 8 | 8 8 | 8 8 | 8 8", "R:ride L:snare R:crash R:china L:snare R:ride L:snare L:snare", ""},
    /* words for strokes go round; two voices of both hands: the right hand's first */
    {"subdivision: quarters, sticking: RLRL, voices: snare high-tom mid-tom", "4 | 4 | 4 | 4",
     "R:snare L:high-tom R:mid-tom L:snare", ""},
    {"subdivision: quarters, sticking: BBRL, voices: crash+snare snare ride snare", "4 | 4 | 4 | 4",
     "B:crash+snare B:snare+snare R:ride L:snare", ""},
    /* no sticking: every slot sounds, without a letter */
    {"subdivision: quarters, voices: snare*2 crash", "4 | 4 | 4 | 4",
     "-:snare -:snare -:crash -:snare", ""},
    {"subdivision: quarters, play: {R: hi-hat}", "4 | 4 | 4 | 4",
     "-:hi-hat -:hi-hat -:hi-hat -:hi-hat", ""},
    /* no sticking, voices or play: the hands rest */
    {"subdivision: eighths, kick: 1 2& 3", "_bar", "", "4 | _8 8 | 4 | _4"},
    /* voices by count: hands are chosen for the page, so there are no letters yet */
    {"subdivision: eighths, hi-hat: eighths, snare: 2 4, kick: 1 3", "8 8 | 8 8 | 8 8 | 8 8",
     "-:hi-hat -:hi-hat -:hi-hat+snare -:hi-hat -:hi-hat -:hi-hat -:hi-hat+snare -:hi-hat",
     "4 | _4 | 4 | _4"},
    /* without a subdivision: beat by beat the coarsest that holds what the counts name */
    {"hi-hat: eighths, snare: 2 4, snare ghost: 2a 3e", "8 8 | 8 16 16 | 16 16 8 | 8 8",
     "-:hi-hat -:hi-hat -:hi-hat+snare -:hi-hat -:snare() -:hi-hat -:snare() -:hi-hat "
     "-:hi-hat+snare -:hi-hat",
     ""},
    {"ride: 1 2 2let 3 4 4let", "4 | 3:2( 4 8 ) | 4 | 3:2( 4 8 )",
     "-:ride -:ride -:ride -:ride -:ride -:ride", ""},
    {"snare: 1 2trip 2&trip 4", "4 | 3:2( _16 8 ) 3:2( _16 8 ) | _4 | 4",
     "-:snare -:snare -:snare -:snare", ""},
    {"ride: quarter triplets", "3:2( 4 4 | 4 ) | 3:2( 4 4 | 4 )",
     "-:ride -:ride -:ride -:ride -:ride -:ride", ""},
    {"snare: 4..4a", "_2 | _4 | 16 16 16 16", "-:snare -:snare -:snare -:snare", ""},
    {"snare: 1, kick: 1 2a 4&", "4 | _4 | _2", "-:snare", "4 | _8 _16 16 | _4 | _8 8"},
    /* beside a sticking: the free hand on a stroke, a hand that is chosen on an empty slot */
    {"subdivision: quarters, sticking: RLR., crash: 1, cowbell: 2, ride: 4", "4 | 4 | 4 | 4",
     "B:snare+crash B:cowbell+snare R:snare -:ride", ""},
    {"subdivision: eighths, sticking: RL, crash: each 3 strokes", "8 8 | 8 8 | 8 8 | 8 8",
     "B:snare+crash L:snare R:snare B:crash+snare R:snare L:snare B:snare+crash L:snare", ""},
    /* the same voice twice is one stroke; open or closed, there is one pair of hats */
    {"subdivision: quarters, hi-hat: quarters, hi-hat open: 4, hi-hat accent: 1, snare: none",
     "4 | 4 | 4 | 4", "-:hi-hat> -:hi-hat -:hi-hat -:open-hi-hat", ""},
    {"subdivision: quarters, snare ghost: quarters, snare flam: 2, snare diddle: 3, at: {4: "
     "accent}",
     "4 | 4 | 4 | 4", "-:snare() l-:snare() -:snare()/ -:snare>", ""},
    /* `at` changes what the counts add */
    {"subdivision: quarters, snare: quarters, at: {2: rest, 3: crash}", "4 | _4 | 4 | 4",
     "-:snare -:crash -:snare", ""},
    /* the hands rest in a rhythm: a rest takes the stroke */
    {"rhythm: 4 _4 2, sticking: R L, crash: 1 2", "4 | 4 | 2", "B:snare+crash -:crash L:snare", ""},
    /* the feet count the hands' strokes, those of the voices by count among them */
    {"subdivision: quarters, sticking: R.R., snare: 4, kick: each 2 strokes, hat-foot: 2",
     "4 | _4 | 4 | 4", "R:snare R:snare -:snare", "4 | 4 | _4 | 4"},
    {"subdivision: quarters, snare: 1, kick accent: 1, second-bass-drum: 3, foot-splash: 4",
     "4 | _4 | _2", "-:snare", "4 | _4 | 4 | 4"},
    /* voices of unlike loudness in a chord */
    {"subdivision: quarters, sticking: B, voices: hi-hat:accent+snare:ghost snare:accent+ride "
     "crash:accent+snare:accent crash+snare",
     "4 | 4 | 4 | 4", "B:hi-hat+snare()> B:snare+ride=> B:crash+snare> B:crash+snare", ""},
    {"subdivision: quarters, sticking: B, at: {1: hi-hat accent + snare ghost, 2: accent "
     "crash+snare, 3: snare + bass-drum accent}, accents: 3",
     "4 | 4 | 4 | 4", "B:hi-hat+snare()> B:crash+snare> B:snare+snare> B:snare+snare",
     "_2 | 4 | _4"},
    {"subdivision: quarters, hi-hat: quarters, snare accent: 2, snare ghost: 3, kick accent: 1, "
     "hat-foot: 1",
     "4 | 4 | 4 | 4", "-:hi-hat -:hi-hat=+snare> -:hi-hat+snare() -:hi-hat", "4 | _4 | _2"},
    /* changes by count: voice, marks, graces, silence */
    {"subdivision: quarters, sticking: RL, at: {1: crash accent, 2: flam, 3: rest, 4: drag}",
     "4 | 4 | _4 | 4", "R:crash> rL:snare rrL:snare", ""},
    {"subdivision: quarters, sticking: RL, at: {1: ruff, 2: diddle, 3: buzz, 4: hi-hat open}",
     "4 | 4 | 4 | 4", "lrlR:snare L:snare/ R:snarez L:open-hi-hat", ""},
    /* a change of a B moves both hands */
    {"subdivision: quarters, sticking: B, play: {R: ride, L: snare}, at: {2: floor-tom}",
     "4 | 4 | 4 | 4", "B:ride+snare B:floor-tom+floor-tom B:ride+snare B:ride+snare", ""},
    /* an accent by count ends a hand's habit of ghosts, and the sticking's brackets */
    {"subdivision: quarters, sticking: RL, play: {R: ride, L: snare ghost}, accents: 2",
     "4 | 4 | 4 | 4", "R:ride L:snare> R:ride L:snare()", ""},
    {"subdivision: quarters, sticking: R(L)R(L), at: {2: accent}", "4 | 4 | 4 | 4",
     "R:snare L:snare> R:snare L:snare()", ""},
    {"subdivision: quarters, sticking: R>LR^L, ghosts: 2 4", "4 | 4 | 4 | 4",
     "R:snare> L:snare() R:snare^ L:snare()", ""},
    /* marks and graces of the sticking itself */
    {"subdivision: quarters, sticking: lR> rrL/ lrlRz L//", "4 | 4 | 4 | 4",
     "lR:snare> rrL:snare/ lrlR:snarez L:snare//", ""},
    /* voices of the feet among the hands' words go to the feet */
    {"subdivision: quarters, voices: crash+bass-drum snare snare snare", "4 | 4 | 4 | 4",
     "-:crash -:snare -:snare -:snare", "4 | _4 | _2"},
    {"subdivision: eighths, voices: hi-hat bass-drum", "4 | 4 | 4 | 4",
     "-:hi-hat -:hi-hat -:hi-hat -:hi-hat", "_8 8 | _8 8 | _8 8 | _8 8"},
    /* a line of the feet by counts: coarsest grid of each beat, a polyrhythm where it is one */
    {"subdivision: eighth triplets, sticking: R, kick: 1 2a 3trip 4let, hat-foot: 2 4",
     "3:2( 8 8 8 ) | 3:2( 8 8 8 ) | 3:2( 8 8 8 ) | 3:2( 8 8 8 )", NULL,
     "4 | 8. 16 | 3:2( _8 4 ) | 3:2( 4 8 )"},
    {"subdivision: quintuplets, sticking: R, kick: 1 1& 2/3, hat-foot: each beat",
     "5:4( 16 16 16 16 16 ) | 5:4( 16 16 16 16 16 ) | 5:4( 16 16 16 16 16 ) | "
     "5:4( 16 16 16 16 16 )",
     NULL, "8 8 | 5:4( 8 8. ) | 4 | 4"},
};

START_TEST(strokes_sound_as_asked)
{
    struct buffer text = {0};
    buffer_format(&text, "title: T\nexercises:\n  - {title: E, %s}\n", cases[_i].keys);
    struct built built = built_right(text.bytes);
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), cases[_i].hands);
    if (cases[_i].strokes)
        ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS), cases[_i].strokes);
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_FEET), cases[_i].feet);
    built_release(&built);
    buffer_release(&text);
}
END_TEST

/* Left lead: hands and graces change over, and the music stays. */
START_TEST(the_left_lead_mirrors_hands_and_graces)
{
    struct built built = built_right("title: T\nexercises:\n  - title: E\n    lead: both\n"
                                     "    subdivision: quarters\n    sticking: lR L (R) B\n"
                                     "    play: {R: ride, L: snare}\n    kick: 1\n");
    ck_assert_uint_eq(built.score->exercise_count, 2);
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS),
                     "lR:ride L:snare R:ride() B:ride+snare");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_HANDS),
                     "rL:ride R:snare L:ride() B:ride+snare");
    const struct note *both = built.score->exercises[1].bars[0].lines[LINE_HANDS].leaves[3].note;
    ck_assert_uint_eq(both->hits[0].limb, LIMB_LEFT_HAND);
    ck_assert_uint_eq(both->hits[1].limb, LIMB_RIGHT_HAND);
    ck_assert_str_eq(built.score->exercises[0].title, "E, right lead");
    ck_assert_str_eq(built.score->exercises[1].title, "E, left lead");
    ck_assert(built.score->exercises[1].mirrored && !built.score->exercises[0].mirrored);
    ck_assert_uint_eq(built.score->exercises[1].number, 2);
    built_release(&built);
}
END_TEST

START_TEST(the_feet_have_a_line_of_their_own)
{
    struct built built = built_right("title: T\nexercises:\n  - title: E\n"
                                     "    subdivision: sixteenths\n    sticking: R\n"
                                     "    feet:\n      subdivision: eighth triplets\n"
                                     "      sticking: R.L\n"
                                     "  - title: F\n    subdivision: eighths\n    sticking: R\n"
                                     "    feet:\n      rhythm: 4 | _4 | 8 8 | 4\n"
                                     "      sticking: R L R L\n"
                                     "      play: {RF: second-bass-drum, LF: foot-splash}\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_FEET),
                     "3:2( 4 8 ) | 3:2( 4 8 ) | 3:2( 4 8 ) | 3:2( 4 8 )");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_FEET),
                     "R:second-bass-drum L:foot-splash R:second-bass-drum L:foot-splash");
    const struct note *note = built_bar(&built, 0, 0)->lines[LINE_FEET].leaves[1].note;
    ck_assert_uint_eq(note->hits[0].limb, LIMB_LEFT_FOOT);
    ck_assert_uint_eq(note->hits[0].voice, VOICE_HI_HAT_FOOT);
    built_release(&built);
}
END_TEST

/* What `play` gives a foot is a habit: of its strokes by count, one after the other. */
START_TEST(kick_and_hat_foot_strike_what_play_gives_the_feet)
{
    struct built built = built_right(
        "title: T\nsubdivision: quarters\nexercises:\n"
        "  - {title: E, sticking: R, kick: 1 3 4, kick accent: 2,\n"
        "     play: {RF: [bass-drum ghost, second-bass-drum]}}\n"
        "  - {title: F, sticking: R, hat-foot: 1 2, foot-splash accent: 2, play: {LF: "
        "foot-splash}}\n"
        "  - {title: G, sticking: R, bass-drum accent: 1, kick: 3, play: {RF: bass-drum ghost}}\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_FEET),
                     "-:bass-drum() -:second-bass-drum> -:bass-drum() -:second-bass-drum");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_FEET), "-:foot-splash -:foot-splash>");
    ck_assert_str_eq(built_strokes(&built, 2, 0, LINE_FEET), "-:bass-drum> -:bass-drum()");
    ck_assert(!built.score->voices_used[VOICE_HI_HAT_FOOT]);
    ck_assert_uint_eq(diags_count(built.diags), 0);
    built_release(&built);
}
END_TEST

START_TEST(what_play_gives_a_foot_without_strokes_is_reported)
{
    struct built built =
        built_any("title: T\nplay: {LF: foot-splash}\nsubdivision: quarters\nexercises:\n"
                  "  - sticking: R\n"
                  "  - sticking: R\n    play: {RF: bass-drum ghost}\n"
                  "  - sticking: R\n    kick: 1\n    bars:\n"
                  "      - play: {RF: second-bass-drum}\n"
                  "      - {play: {RF: second-bass-drum}, kick: none}\n"
                  "  - sticking: R\n    feet: {subdivision: quarters, play: {LF: foot-splash}}\n");
    ck_assert_uint_eq(built_count(&built, DIAG_NO_EFFECT), 3);
    ck_assert_uint_eq(diags_get(built.diags, 0)->at.line, 7);
    ck_assert_uint_eq(diags_get(built.diags, 1)->at.line, 12);
    ck_assert_uint_eq(diags_get(built.diags, 2)->at.line, 2); /* not used by any exercise */
    built_release(&built);
}
END_TEST

/* K and H take slots, marks, accents and habits as hands do; the hands rest there. */
START_TEST(feet_among_the_hands_are_strokes_of_the_sticking)
{
    struct built built =
        built_right("title: T\nsubdivision: eighths\nexercises:\n"
                    "  - {title: E, sticking: R L K (H), accents: 1 2}\n"
                    "  - {title: F, sticking: RLRLK, lead: left, kick accent: 1 3, bars: resolve,\n"
                    "     play: {R: high-tom, RF: second-bass-drum}}\n"
                    "  - {title: G, sticking: RK, crash: 1&, at: {2&: foot-splash, 3&: rest}}\n"
                    "  - {title: H, sticking: R L K, accents: each 5 strokes}\n"
                    "  - {title: I, sticking: R L K, hat-foot: each 3 strokes,\n"
                    "     kick accent: each 4 strokes}\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS), "R:snare> L:snare R:snare L:snare");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_FEET),
                     "K:bass-drum> H:hi-hat-foot() K:bass-drum H:hi-hat-foot()");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "8 8 | _4 | 8 8 | _4");
    ck_assert_str_eq(built_counts(&built, 0, 0), "1 & 2 & 3 & 4 &");
    ck_assert_uint_eq(built.score->exercises[1].cycle.bars_to_line_up, 5);
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_HANDS),
                     "L:high-tom R:snare L:high-tom R:snare L:high-tom R:snare L:high-tom");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_FEET),
                     "-:second-bass-drum> K:second-bass-drum>");
    ck_assert_str_eq(built_strokes(&built, 2, 0, LINE_HANDS),
                     "R:snare -:crash R:snare R:snare R:snare");
    ck_assert_str_eq(built_strokes(&built, 2, 0, LINE_FEET),
                     "K:bass-drum H:foot-splash K:bass-drum");
    ck_assert_str_eq(built_strokes(&built, 3, 0, LINE_FEET), "K:bass-drum K:bass-drum>");
    ck_assert_str_eq(built_strokes(&built, 4, 0, LINE_FEET),
                     "-:bass-drum+hi-hat-foot=> K:bass-drum -:hi-hat-foot -:bass-drum> "
                     "K:bass-drum -:hi-hat-foot");
    built_release(&built);
}
END_TEST

START_TEST(feet_among_the_hands_take_no_word_of_voices)
{
    struct built built =
        built_right("title: T\nexercises:\n"
                    "  - title: E\n    bars:\n"
                    "      - rhythm: 8 8 | 8 8 | 8 8 | 4\n        sticking: R K | L R | K L | H\n"
                    "        voices: snare | high-tom mid-tom | floor-tom\n"
                    "      - rhythm: 8 8 | 8 8 | 8 8 | 4\n        sticking: R K | K R | L R | L\n"
                    "        voices: snare | high-tom | mid-tom floor-tom | crash\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS),
                     "R:snare L:high-tom R:mid-tom L:floor-tom");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_FEET),
                     "K:bass-drum K:bass-drum H:hi-hat-foot");
    built_release(&built);
}
END_TEST

/* `stems: up`: hands and feet that never strike together are printed as one voice. So are the other
 * bars of the exercise, unless one of them cannot be merged. */
START_TEST(hands_and_feet_apart_are_one_voice)
{
    struct built built = built_right(
        "title: T\nstems: up\nsubdivision: sixteenths\nexercises:\n"
        "  - {title: E, sticking: RL.K}\n"
        "  - {title: F, sticking: RLLK, kick: 1}\n"
        "  - {title: G, sticking: RLLK, stems: split}\n"
        "  - {title: H, sticking: R+L.K}\n"
        "  - {title: I, sticking: \"....\", kick: 1}\n"
        "  - title: J\n    bars:\n      - rhythm: 3(8*3) | 8 _8 | 8 8 | 4\n"
        "        sticking: R K L | R | L K | R\n        kick: 2&\n"
        "  - {title: K, subdivision: quarters, sticking: R, kick: 1& 2a}\n"
        "  - title: L\n    sticking: RLKK\n"
        "    bars: [{}, {kick: 1}, {subdivision: quarters, sticking: none, kick: 1 3}]\n"
        "  - title: M\n    sticking: RLKK\n"
        "    bars: [{}, {kick diddle: 1}]\n");
    struct score_bar *bar = &built.score->exercises[0].bars[0];
    ck_assert_uint_eq(bar->together.leaf_count, 12);
    ck_assert_ptr_eq(bar->together.leaves[1].note, bar->lines[LINE_HANDS].leaves[1].note);
    bar->lines[LINE_HANDS] = bar->together;
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS),
                     "16 8 16 | 16 8 16 | 16 8 16 | 16 8 16");
    for (size_t i = 1; i <= 4; i++)
        ck_assert_uint_eq(built_bar(&built, i, 0)->together.leaf_count, 0);
    bar = &built.score->exercises[5].bars[0];
    bar->lines[LINE_HANDS] = bar->together;
    ck_assert_str_eq(built_values(&built, 5, 0, LINE_HANDS), "3:2( 8 8 8 ) | 8 8 | 8 8 | 4");
    bar = &built.score->exercises[6].bars[0];
    bar->lines[LINE_HANDS] = bar->together;
    ck_assert_str_eq(built_values(&built, 6, 0, LINE_HANDS), "8 8 | 8. 16 | 4 | 4");
    bar = built.score->exercises[7].bars;
    ck_assert_uint_eq(bar[1].together.leaf_count, 16);
    ck_assert_ptr_eq(bar[1].together.leaves[0].note, bar[1].lines[LINE_HANDS].leaves[0].note);
    ck_assert_uint_eq(bar[2].together.leaf_count, 4);
    const struct score_exercise *shown =
        exercise_as_one_voice(&built.score->exercises[7], built.arena);
    const struct note *both = shown->bars[1].lines[LINE_HANDS].leaves[0].note;
    ck_assert_int_eq(both->hit_count, 2);
    ck_assert_int_eq(both->hits[1].limb, LIMB_RIGHT_FOOT);
    for (size_t i = 0; i < 2; i++)
        ck_assert_uint_eq(built_bar(&built, 8, i)->together.leaf_count, 0);
    built_release(&built);
}
END_TEST

/* Onsets of three against four, worked out by hand: the left hand's at 0, 1/3 and 2/3 of the bar.
 */
START_TEST(each_hand_has_its_own_line)
{
    struct built built = built_right(
        "title: T\nexercises:\n"
        "  - title: E\n    right: {rhythm: 4 4 4 4, play: ride}\n"
        "    left: {rhythm: 3(2 2 2), sticking: L> L (L), play: [snare, high-tom]}\n"
        "    kick: 1\n    accents: 2\n"
        "  - title: F\n    right: {subdivision: eighths, sticking: R .}\n"
        "    left: {subdivision: eighths, sticking: . L}\n    kick: 1 2&\n    lead: left\n"
        "  - title: G\n    right: {rhythm: 4 4 4 4}\n    left: {rhythm: 2 _4 4}\n"
        "    hat-foot: 3\n    bars:\n      - {}\n      - {left: {rhythm: 1}, hat-foot: 1}\n"
        "      - {rhythm: 4 4 4 4, sticking: RLRL}\n"
        "  - title: H\n    right: {rhythm: 4 4 4 4}\n    left: {rhythm: 3(8*3) 4. 8 _4}\n"
        "    hat-foot: 3 4\n    bars:\n      - {}\n"
        "      - {left: {rhythm: 2 _2}, hat-foot: 2 4}\n      - {left: {rhythm: 1}}\n");
    const struct score_line *left = &built_bar(&built, 0, 0)->lines[LINE_FEET];
    ck_assert(built_bar(&built, 0, 0)->hands_apart);
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS), "R:ride R:ride> R:ride R:ride");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_FEET),
                     "L:snare+bass-drum=> L:high-tom L:snare()");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_FEET), "3:2( 2 | 2 | 2 )");
    for (uint32_t i = 0; i < 3; i++)
        ck_assert(fraction_equal(left->leaves[i].onset, fraction_make(i, 3)));
    ck_assert_uint_eq(left->leaves[0].note->hits[0].limb, LIMB_LEFT_HAND);
    ck_assert_uint_eq(left->leaves[0].note->hits[1].limb, LIMB_RIGHT_FOOT);
    ck_assert_str_eq(built_counts(&built, 0, 0), "1 2 trip [let] 3 [trip] let 4");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_HANDS), "L:snare L:snare L:snare L:snare");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_FEET),
                     "-:bass-drum R:snare R:snare+bass-drum R:snare R:snare");
    ck_assert_str_eq(built_values(&built, 1, 0, LINE_FEET), "8 8 | _8 8 | _8 8 | _8 8");
    ck_assert_str_eq(built_strokes(&built, 2, 0, LINE_FEET), "L:snare -:hi-hat-foot L:snare");
    ck_assert_str_eq(built_values(&built, 2, 0, LINE_FEET), "2 | 4 | 4");
    ck_assert_str_eq(built_strokes(&built, 2, 1, LINE_FEET), "L:snare+hi-hat-foot");
    ck_assert(!built_bar(&built, 2, 2)->hands_apart);
    ck_assert_str_eq(built_values(&built, 3, 0, LINE_FEET), "3:2( 8 8 8 ) | 4. | 4 8 | 4");
    ck_assert_str_eq(built_strokes(&built, 3, 0, LINE_FEET),
                     "L:snare L:snare L:snare L:snare -:hi-hat-foot L:snare -:hi-hat-foot");
    ck_assert_str_eq(built_values(&built, 3, 1, LINE_FEET), "2 | 4 | _4 | 4");
    ck_assert_str_eq(built_values(&built, 3, 2, LINE_FEET), "1 | 4 | 4");
    ck_assert(fraction_equal(built_bar(&built, 3, 1)->lines[LINE_FEET].leaves[1].onset,
                             fraction_make(1, 4)));
    built_release(&built);
}
END_TEST

/* ratamark-lesson(5), MARKS IN WORDS: every way to write a mark has the same result as `at`. */
START_TEST(an_accent_by_count_ends_the_ghost_of_brackets_and_of_a_habit)
{
    struct built built = built_right(
        "title: T\nsubdivision: quarters\nexercises:\n"
        "  - {title: E, sticking: (RL), at: {1: accent}}\n"
        "  - {title: F, sticking: (RL), accents: 1}\n"
        "  - {title: G, sticking: (RL), snare accent: 1}\n"
        "  - {title: H, sticking: RL, play: {R: snare ghost, L: snare ghost}, accents: 1}\n"
        "  - {title: I, sticking: (R)L, hi-hat: 1, snare accent: 1}\n"
        "  - {title: J, sticking: RL, play: {R: snare ghost}, hi-hat: 1, snare accent: 1}\n"
        "  - {title: K, sticking: (R)L, hi-hat accent: 1}\n"
        "  - {title: L, sticking: (K)L, kick accent: 1}\n");
    for (size_t i = 0; i < 4; i++)
        ck_assert_str_eq(built_strokes(&built, i, 0, LINE_HANDS),
                         "R:snare> L:snare() R:snare() L:snare()");
    ck_assert_str_eq(built_strokes(&built, 7, 0, LINE_FEET), "K:bass-drum> K:bass-drum()");
    const bool soft[] = {false, false, true};
    for (size_t i = 0; i < 3; i++) {
        const struct note *note = built_bar(&built, 4 + i, 0)->lines[LINE_HANDS].leaves[0].note;
        ck_assert_uint_eq(note->hit_count, 2);
        ck_assert(note->marks & MARK_ACCENT);
        for (size_t h = 0; h < 2; h++) {
            bool snare = note->hits[h].voice == VOICE_SNARE;
            ck_assert(note->hits[h].ghost == (snare && soft[i]));
            ck_assert(note->hits[h].plain == (!snare && !soft[i]));
        }
    }
    built_release(&built);
}
END_TEST

START_TEST(a_left_handed_kit_turns_the_feet_round)
{
    struct built built =
        built_right("title: T\nkit: {handed: left}\nexercises:\n"
                    "  - {title: E, subdivision: quarters, sticking: R, kick: 1, hat-foot: 2}\n");
    const struct score_line *feet = &built_bar(&built, 0, 0)->lines[LINE_FEET];
    ck_assert_uint_eq(feet->leaves[0].note->hits[0].limb, LIMB_LEFT_FOOT);
    ck_assert_uint_eq(feet->leaves[1].note->hits[0].limb, LIMB_RIGHT_FOOT);
    built_release(&built);
}
END_TEST

START_TEST(the_key_knows_the_voices_used)
{
    struct built built =
        built_right("title: T\nexercises:\n  - {title: E, subdivision: quarters, sticking: RL, "
                    "play: {R: ride, L: snare ghost}, kick: 1}\n");
    ck_assert(built.score->voices_used[VOICE_RIDE] && built.score->voices_used[VOICE_SNARE]);
    ck_assert(built.score->voices_used[VOICE_BASS_DRUM] && built.score->ghosts_used);
    ck_assert(!built.score->voices_used[VOICE_CRASH]);
    built_release(&built);
}
END_TEST

static const struct {
    const char *keys;
    enum diag_code code;
    const char *says;
} wrong[] = {
    {"subdivision: quarters, sticking: RL, accents: 1, ghosts: 1", DIAG_CONFLICT,
     "an accent and a ghost on one stroke"},
    {"subdivision: quarters, sticking: (R)L, accents: 1, ghosts: 1", DIAG_CONFLICT,
     "an accent and a ghost"},
    {"subdivision: quarters, sticking: (R)L, snare ghost: 1, snare accent: 1", DIAG_CONFLICT,
     "an accent and a ghost"},
    {"subdivision: quarters, sticking: RL, at: {3: rest}, accents: 3", DIAG_NO_STROKE, "'3'"},
    {"subdivision: quarters, sticking: RL, voices: snare bass-drum", DIAG_CONFLICT,
     "a foot plays its voice"},
    {"subdivision: quarters, sticking: R, kick: 1, feet: {subdivision: quarters}", DIAG_CONFLICT,
     "both say what the feet play"},
    {"sticking: RL", DIAG_MISSING_KEY, "no subdivision or rhythm"},
    {"subdivision: duplets, sticking: RL", DIAG_SUBDIVISION_FIT, "beat 1"},
    {"subdivision: [quarter triplets, eighths], sticking: RL", DIAG_SUBDIVISION_FIT, "beat 2"},
    {"time: 3/4, subdivision: quarter triplets, sticking: RL", DIAG_SUBDIVISION_FIT, "beat 3"},
    {"subdivision: sixteenths, sticking: RLR | LRLR", DIAG_BEAT_LENGTH,
     "beat 1 is a sixteenth short"},
    {"subdivision: sixteenths, sticking: R, kick: 1e 1/3 1&, hat-foot: 1..1a", DIAG_CODE_COUNT,
     NULL},
};

START_TEST(contradictions_are_told)
{
    struct buffer text = {0};
    buffer_format(&text, "title: T\nexercises:\n  - {title: E, %s}\n", wrong[_i].keys);
    struct built built = built_any(text.bytes);
    if (wrong[_i].code == DIAG_CODE_COUNT) {
        ck_assert_uint_eq(diags_errors(built.diags), 0);
    } else {
        ck_assert_uint_eq(diags_errors(built.diags), 1);
        const struct diag *diag = diags_get(built.diags, 0);
        ck_assert_int_eq(diag->code, wrong[_i].code);
        ck_assert_uint_eq(diag->at.line, 3);
        ck_assert_msg(strstr(diag->message, wrong[_i].says) != NULL, "%s", diag->message);
    }
    built_release(&built);
    buffer_release(&text);
}
END_TEST

/* Hands and feet in turn, one line of words: what a foot plays in it is counted, too, and so is a
   kick beside it. */
START_TEST(a_foot_in_the_hands_line_is_counted)
{
    struct built built = built_right("title: T\nexercises:\n  - title: E\n"
                                     "    subdivision: sixteenths\n"
                                     "    voices: hi-hat snare bass-drum bass-drum\n"
                                     "  - bars:\n      - rhythm: 8 16 16 | 4 | 8 8 | 4\n"
                                     "        sticking: R L | R | R | L\n"
                                     "        voices: snare*2 bass-drum | snare | ride bass-drum |"
                                     " snare\n        kick: 2&\n");
    ck_assert_str_eq(built_counts(&built, 0, 0), "1 e & a 2 e & a 3 e & a 4 e & a");
    ck_assert_str_eq(built_values(&built, 1, 0, LINE_HANDS), "8 16 _16 | 4 | 8 _8 | 4");
    ck_assert_str_eq(built_counts(&built, 1, 0), "1 [e] & a 2 & 3 & 4");
    built_release(&built);
}
END_TEST

/* Twelve parts to a beat: a third and a quarter of it at once have no common subdivision. */
START_TEST(feet_that_no_subdivision_holds_are_told)
{
    struct built built = built_any("title: T\nexercises:\n  - title: E\n"
                                   "    subdivision: eighth triplets\n    sticking: R\n"
                                   "    kick: 2trip 2a\n");
    built_finding(&built, DIAG_SUBDIVISION_FIT, 6, 11);
    built_release(&built);
}
END_TEST

#define LOOP(test, table) tcase_add_loop_test(tcase, test, 0, (int)(sizeof table / sizeof *table))

int main(void)
{
    Suite *suite = suite_create("strokes");
    TCase *tcase = tcase_create("strokes");
    LOOP(strokes_sound_as_asked, cases);
    tcase_add_test(tcase, the_left_lead_mirrors_hands_and_graces);
    tcase_add_test(tcase, the_feet_have_a_line_of_their_own);
    tcase_add_test(tcase, kick_and_hat_foot_strike_what_play_gives_the_feet);
    tcase_add_test(tcase, what_play_gives_a_foot_without_strokes_is_reported);
    tcase_add_test(tcase, feet_among_the_hands_are_strokes_of_the_sticking);
    tcase_add_test(tcase, feet_among_the_hands_take_no_word_of_voices);
    tcase_add_test(tcase, hands_and_feet_apart_are_one_voice);
    tcase_add_test(tcase, each_hand_has_its_own_line);
    tcase_add_test(tcase, an_accent_by_count_ends_the_ghost_of_brackets_and_of_a_habit);
    tcase_add_test(tcase, a_left_handed_kit_turns_the_feet_round);
    tcase_add_test(tcase, the_key_knows_the_voices_used);
    tcase_add_test(tcase, a_foot_in_the_hands_line_is_counted);
    LOOP(contradictions_are_told, wrong);
    tcase_add_test(tcase, feet_that_no_subdivision_holds_are_told);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
