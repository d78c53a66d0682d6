/* Written rhythms: values, tuplets in tuplets, and what is said of a bar that does not add up. */
#include "build/duration_words.h"
#include "built.h"

#include "base/buffer.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

/* One bar; the rhythm's text begins in column 17 of line 5. */
static struct built with_rhythm(const char *time, const char *rhythm, const char *rest)
{
    struct buffer text = {0};
    buffer_format(&text, "time: %s\ntitle: T\nexercises:\n  - bars:\n      - rhythm: %s\n%s", time,
                  rhythm, rest);
    struct built built = built_any(text.bytes);
    buffer_release(&text);
    return built;
}
enum { RHYTHM_LINE = 5, RHYTHM_COLUMN = 17 };

static const struct {
    const char *time, *rhythm, *values, *counts;
} written[] = {
    /* the first fill of ratamark-lesson(5) */
    {"4/4", "16*4 | 3(8*3) | 8. 16 | 8 _8", "16 16 16 16 | 3:2( 8 8 8 ) | 8. 16 | 8 _8",
     "1 e & a 2 trip let 3 [e] [&] a 4"},
    {"4/4", "3(4 3(8*3) 4) | 4 | 4", "3:2( 4 3:2( 8 8 | 8 ) 4 ) | 4 | 4", "1 trip let 3 4"},
    {"4/4", "2 | 4+16 8.", "2 | 4 | ~16 8.", "1 [2] 3 [4] e [&] [a]"},
    {"4/4", "5:4(8*5) | 3(4 4 4)", "5:4( 8 8 8 | 8 8 ) | 3:2( 4 4 | 4 )", "1 2 3 4 5 3 trip let"},
    {"6/8", "2(8 8) | 4:3(8*4)", "2:3( 8 8 ) | 4:3( 8 8 8 8 )", "1 & 2 e & a"},
    {"3/4", "4:3(4*4)", "4:3( 4 4 | 4 | 4 )", "1 [e] [&] a [2] & [3] e [&] [a]"},
    /* a tuplet over the whole bar, and one that begins between beats */
    {"4/4", "5:4(4*5)", "5:4( 4 4 | 4 | 4 | 4 )", "1 2 3 4 5"},
    {"4/4", "9:4(4*9)", NULL, "1 2 3 4 5 6 7 8 9"},
    {"4/4", "8 3(4 4 4) 8 4", NULL, "1 & trip let & 4"},
    {"4/4", "6:4(16*6) | 3(16*3)*2 | 64*4 16 8 | 4",
     "6:4( 16 16 16 16 16 16 ) | 3:2( 16 16 16 ) 3:2( 16 16 16 ) | 64 64 64 64 16 8 | 4", NULL},
    /* one triplet with halves among its thirds, and six even strokes */
    {"4/4", "3(8 16 16 8) | 3(16 16 8 8) | 3(16*6) | 3(8. 16 8)", NULL,
     "1 [ta] trip ta let [ta] 2 ta trip [ta] let [ta] 3 trip let & trip let 4 [ta] [trip] ta let "
     "[ta]"},
    {"2/2", "3(4 8 8 4) | 2", NULL, "1 [ta] trip ta let [ta] 2 [&]"},
    {"2+2+3/8", "8 8 | 4 | 4.", "8 8 | 4 | 4.", "1 & 2 3 [&] [a]"},
};

START_TEST(a_rhythm_is_written_as_it_is_given)
{
    struct built built = with_rhythm(written[_i].time, written[_i].rhythm, "");
    ck_assert_uint_eq(diags_errors(built.diags), 0);
    if (written[_i].values)
        ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), written[_i].values);
    if (written[_i].counts)
        ck_assert_str_eq(built_counts(&built, 0, 0), written[_i].counts);
    built_release(&built);
}
END_TEST

/* Sounding time by hand: in 3(4 3(8*3) 4) a quarter lasts 1/6 of a whole, the eighths inside
   2/3 of 1/12 = 1/18. */
START_TEST(nested_tuplets_multiply)
{
    struct built built = with_rhythm("2/4", "3(4 3(8*3) 4)", "");
    const struct score_line *line = &built_bar(&built, 0, 0)->lines[LINE_HANDS];
    ck_assert_uint_eq(line->leaf_count, 5);
    ck_assert(fraction_equal(line->leaves[0].length, fraction_make(1, 6)));
    ck_assert(fraction_equal(line->leaves[2].onset, fraction_make(2, 9)));
    ck_assert(fraction_equal(line->leaves[2].length, fraction_make(1, 18)));
    ck_assert(fraction_equal(line->leaves[4].onset, fraction_make(1, 3)));
    ck_assert_uint_eq(line->tuplets[1].outer, 0);
    ck_assert_uint_eq(line->tuplets[1].depth, 1);
    ck_assert_uint_eq(line->tuplets[1].unit_log2, 3);
    built_release(&built);
}
END_TEST

/* A tuplet shows its ratio if the number alone would mislead, as in 5:3. */
/* The note after a tie out of the bar before is not struck again and takes no letter. */
START_TEST(a_tie_leads_over_the_bar_line)
{
    struct built built = built_right("title: T\nexercises:\n  - bars:\n"
                                     "      - {rhythm: 4 4 4 8 8+, sticking: RLRLR}\n"
                                     "      - {rhythm: '3(8+8 8) 4 4 4+', sticking: LRLR}\n"
                                     "      - {rhythm: 1+}\n      - {rhythm: 2 2, sticking: L}\n"
                                     "    feet: {rhythm: 1}\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "4 | 4 | 4 | 8 8");
    ck_assert_str_eq(built_values(&built, 0, 1, LINE_HANDS), "3:2( ~8 ~8 8 ) | 4 | 4 | 4");
    ck_assert_str_eq(built_values(&built, 0, 2, LINE_HANDS), "~1");
    ck_assert_str_eq(built_values(&built, 0, 3, LINE_HANDS), "~2 | 2");
    ck_assert_str_eq(built_strokes(&built, 0, 1, LINE_HANDS), "L:snare R:snare L:snare R:snare");
    const struct score_line *first = &built_bar(&built, 0, 0)->lines[LINE_HANDS];
    const struct score_line *second = &built_bar(&built, 0, 1)->lines[LINE_HANDS];
    ck_assert(first->leaves[4].tied);
    ck_assert_ptr_eq(second->leaves[0].note, first->leaves[4].note);
    built_release(&built);
}
END_TEST

START_TEST(unusual_ratios_are_printed)
{
    struct built built = with_rhythm("4/4", "5:3(16*5) 16 | 5:4(16*5) | 7:4(16*7) | 6:4(16*6)", "");
    const struct score_line *line = &built_bar(&built, 0, 0)->lines[LINE_HANDS];
    ck_assert_uint_eq(line->tuplet_count, 4);
    ck_assert(line->tuplets[0].ratio);
    for (int i = 1; i < 4; i++)
        ck_assert(!line->tuplets[i].ratio);
    built_release(&built);
}
END_TEST

START_TEST(only_the_first_of_equal_tuplets_is_numbered_where_asked)
{
    struct built built =
        with_rhythm("4/4", "3(8*3) | 3(8*3) | 4 | 3(8*3)", "    show: {tuplet-numbers: first}\n");
    const struct score_line *line = &built_bar(&built, 0, 0)->lines[LINE_HANDS];
    ck_assert(line->tuplets[0].numbered && !line->tuplets[1].numbered && line->tuplets[2].numbered);
    built_release(&built);
}
END_TEST

/* ---- bars that do not add up -------------------------------------------------------------- */

static const struct {
    const char *time, *rhythm;
    enum diag_code code;
    unsigned after; /* characters of the rhythm before the place that is shown */
    const char *says;
} wrong[] = {
    {"2/4", "8 8 | 8 16*3", DIAG_BAR_LENGTH, 8, "a sixteenth too long"},
    {"4/4", "8 8 | 16*4 | 8 8 | 8 16", DIAG_BAR_LENGTH, 23, "a sixteenth short"},
    {"4/4", "4 4 4", DIAG_BAR_LENGTH, 5, "a quarter short: it adds up to 3 quarters"},
    {"4/4", "4*5", DIAG_BAR_LENGTH, 0, "a quarter too long: it adds up to 5 quarters"},
    {"6/8", "4. 4", DIAG_BAR_LENGTH, 4,
     "an eighth short: it adds up to 5 eighths, but a bar of 6/8 has 6"},
    {"4/4", "4 | 3(8 8 8) 8 | 4 4", DIAG_BAR_LENGTH, 19, "beat 2 is an eighth too long"},
    {"4/4", "4 | 8. | 4 | 4", DIAG_BAR_LENGTH, 14, "beat 2 is a sixteenth short"},
    {"4/4", "8 8 | 8. 16 16 | 8. | 4", DIAG_BEAT_LENGTH, 15, "beat 2 is a sixteenth too long"},
    {"4/4", "4 8. | 16 4 4", DIAG_BEAT_LENGTH, 5, "beat 2 is a sixteenth short"},
};

START_TEST(what_a_bar_lacks_is_said_in_note_values)
{
    struct built built = with_rhythm(wrong[_i].time, wrong[_i].rhythm, "");
    const struct diag *diag =
        built_finding(&built, wrong[_i].code, RHYTHM_LINE, RHYTHM_COLUMN + wrong[_i].after);
    ck_assert_msg(strstr(diag->message, wrong[_i].says) != NULL, "%s", diag->message);
    ck_assert_uint_eq(built.score->exercises[0].bar_count, 0);
    built_release(&built);
}
END_TEST

/* A fill whose last six is one note short gets exactly this error, at the bracket where the notes
   run out, and no other. */
START_TEST(a_triplet_sixteenth_short_is_reported)
{
    struct built built = with_rhythm("4/4", "16*4 | 3(8*3) | 8. 16 | 3(16*3) 3(16*2)",
                                     "        sticking: RLRL RLR RL RLR LR\n");
    const struct diag *diag =
        built_finding(&built, DIAG_TUPLET_LENGTH, RHYTHM_LINE, RHYTHM_COLUMN + 38);
    ck_assert_ptr_nonnull(strstr(diag->message, "a triplet sixteenth short"));
    ck_assert_uint_eq(diags_errors(built.diags), 1);
    built_release(&built);
}
END_TEST

/* ---- counts of strokes and words ---------------------------------------------------------- */

START_TEST(sticking_and_voices_have_to_match_the_notes)
{
    struct built built =
        with_rhythm("4/4", "8 8 | 16*4 | 8 _8 | 4", "        sticking: RL RLRL R\n");
    const struct diag *diag = built_finding(&built, DIAG_STROKE_COUNT, 6, 19);
    ck_assert_ptr_nonnull(strstr(diag->message, "7 strokes, but the rhythm has 8 notes"));
    built_release(&built);
    built = with_rhythm("4/4", "8 8 | 16*4 | 8 _8 | 4", "        voices: snare*9\n");
    diag = built_finding(&built, DIAG_VOICE_COUNT, 6, 17);
    ck_assert_ptr_nonnull(strstr(diag->message, "9 voices, but the rhythm has 8 notes"));
    built_release(&built);
}
END_TEST

START_TEST(a_named_sticking_may_go_round_beside_a_rhythm)
{
    struct built built =
        with_rhythm("4/4", "8 8 8 8 | 8 8 8 8", "        sticking: single paradiddle\n");
    ck_assert_uint_eq(diags_errors(built.diags), 0);
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS),
                     "R:snare> L:snare R:snare R:snare L:snare> R:snare L:snare L:snare");
    built_release(&built);
    built = with_rhythm("3/4", "8 8 | 8 8 | 8 8", "        sticking: flam accent\n");
    ck_assert_uint_eq(diags_errors(built.diags), 0);
    built_release(&built);
    built = with_rhythm("4/4", "8 8 | 8 8 | 4 | 4", "        sticking: single paradiddle\n");
    ck_assert_uint_eq(built_count(&built, DIAG_STROKE_COUNT), 1);
    built_release(&built);
}
END_TEST

START_TEST(an_inherited_sticking_runs_on_over_the_notes)
{
    struct built built = built_right("title: T\nexercises:\n  - title: E\n    sticking: RLL\n"
                                     "    bars:\n      - rhythm: 4 | 4 | 8 8 | _4\n"
                                     "      - rhythm: 4 | 4 | 4 | 4\n        sticking: LLLL\n"
                                     "      - rhythm: 4 | 4 | _2\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS), "R:snare L:snare L:snare R:snare");
    ck_assert_str_eq(built_strokes(&built, 0, 1, LINE_HANDS), "L:snare L:snare L:snare L:snare");
    ck_assert_str_eq(built_strokes(&built, 0, 2, LINE_HANDS), "L:snare L:snare");
    built_release(&built);
}
END_TEST

/* A `|` of the sticking stands between the notes of two beats, rests between them or not. */
START_TEST(boundaries_beside_a_rhythm_are_checked)
{
    struct built built =
        with_rhythm("4/4", "4 | 4 | _8. 16 | 4", "        sticking: R | L | R | L\n");
    ck_assert_uint_eq(diags_errors(built.diags), 0);
    built_release(&built);
    built = with_rhythm("4/4", "8 8 | 4 | 4 | 4", "        sticking: R | L R L R\n");
    const struct diag *diag = built_finding(&built, DIAG_BEAT_LENGTH, 6, 21);
    ck_assert_ptr_nonnull(strstr(diag->message, "beat 1"));
    built_release(&built);
}
END_TEST

/* ---- lengths in words --------------------------------------------------------------------- */

static const struct {
    int numerator, denominator;
    const char *words;
} lengths[] = {
    {1, 4, "a quarter"},
    {1, 8, "an eighth"},
    {1, 64, "a sixty-fourth"},
    {3, 8, "a dotted quarter"},
    {3, 16, "a dotted eighth"},
    {1, 12, "a triplet eighth"},
    {1, 24, "a triplet sixteenth"},
    {1, 20, "a quintuplet sixteenth"},
    {1, 28, "a septuplet sixteenth"},
    {1, 1, "a whole note"},
    {3, 1, "3 whole notes"},
    {5, 16, "a quarter and a sixteenth"},
    {5, 24, "an eighth and a triplet eighth"},
    {7, 16, "a quarter and a dotted eighth"},
    {1, 44, "1/11 of a quarter"},
};

START_TEST(lengths_are_told_in_note_values)
{
    struct arena *arena = arena_new();
    struct fraction length = fraction_make(lengths[_i].numerator, lengths[_i].denominator);
    ck_assert_str_eq(duration_words(arena, length), lengths[_i].words);
    arena_free(arena);
}
END_TEST

START_TEST(amounts_are_told_in_the_meters_unit)
{
    struct arena *arena = arena_new();
    struct meter four = {.groups = {4}, .group_count = 1, .unit = 4};
    struct meter six = {.groups = {6}, .group_count = 1, .unit = 8};
    struct meter two = {.groups = {2}, .group_count = 1, .unit = 2};
    ck_assert_str_eq(duration_in_units(arena, fraction_make(23, 24), &four), "3 5/6 quarters");
    ck_assert_str_eq(duration_in_units(arena, fraction_make(3, 4), &six), "6 eighths");
    ck_assert_str_eq(duration_in_units(arena, fraction_make(1, 1), &two), "2 halves");
    ck_assert_str_eq(duration_in_units(arena, fraction_make(1, 2), &two), "1 half");
    ck_assert_str_eq(duration_in_units(arena, fraction_make(1, 6), &four), "2/3 quarters");
    arena_free(arena);
}
END_TEST

#define LOOP(test, table) tcase_add_loop_test(tcase, test, 0, (int)(sizeof table / sizeof *table))

int main(void)
{
    Suite *suite = suite_create("rhythm");
    TCase *tcase = tcase_create("rhythm");
    LOOP(a_rhythm_is_written_as_it_is_given, written);
    tcase_add_test(tcase, a_tie_leads_over_the_bar_line);
    tcase_add_test(tcase, nested_tuplets_multiply);
    tcase_add_test(tcase, unusual_ratios_are_printed);
    tcase_add_test(tcase, only_the_first_of_equal_tuplets_is_numbered_where_asked);
    LOOP(what_a_bar_lacks_is_said_in_note_values, wrong);
    tcase_add_test(tcase, a_triplet_sixteenth_short_is_reported);
    tcase_add_test(tcase, sticking_and_voices_have_to_match_the_notes);
    tcase_add_test(tcase, a_named_sticking_may_go_round_beside_a_rhythm);
    tcase_add_test(tcase, an_inherited_sticking_runs_on_over_the_notes);
    tcase_add_test(tcase, boundaries_beside_a_rhythm_are_checked);
    LOOP(lengths_are_told_in_note_values, lengths);
    tcase_add_test(tcase, amounts_are_told_in_the_meters_unit);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
