/* The bars of an exercise: how many, pickups, repeats, endings, meters, dynamics; the rudiments. */
#include "built.h"

#include "base/buffer.h"
#include "model/rudiment.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

START_TEST(a_pickup_is_counted_back_from_the_bar_line)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nexercises:\n  - title: E\n"
                                     "    pickup:\n      rhythm: 16 16 8\n"
                                     "      sticking: RLR\n      kick: 4&\n"
                                     "    sticking: RL\n    repeat: 3\n");
    const struct score_bar *pickup = built_bar(&built, 0, 0), *bar = built_bar(&built, 0, 1);
    ck_assert(pickup->pickup && pickup->number == 0 && !bar->pickup && bar->number == 1);
    ck_assert(fraction_equal(pickup->start, fraction_make(3, 4)));
    ck_assert(fraction_equal(pickup->length, fraction_make(1, 4)));
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "16 16 8");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_FEET), "_8 8");
    ck_assert_str_eq(built_counts(&built, 0, 0), "4 e & [a]");
    /* repeated without it */
    ck_assert(!pickup->repeat_begins && bar->repeat_begins && bar->repeat_ends);
    ck_assert_uint_eq(bar->plays, 3);
    built_release(&built);
}
END_TEST

START_TEST(a_pickup_is_shorter_than_its_bar)
{
    struct built built = built_any("title: T\nsubdivision: eighths\nexercises:\n  - title: E\n"
                                   "    pickup: {rhythm: 4 4 4 4}\n    sticking: RL\n");
    built_finding(&built, DIAG_BAR_LENGTH, 5, 22);
    built_release(&built);
}
END_TEST

START_TEST(endings_follow_the_bars)
{
    struct built built = built_right("title: T\nsubdivision: quarters\nexercises:\n  - title: E\n"
                                     "    sticking: RL\n    repeat: 3\n    endings:\n"
                                     "      1, 2:\n        - kick: 1\n        - kick: 2\n"
                                     "      3:\n        - kick: 3\n");
    const struct score_exercise *exercise = &built.score->exercises[0];
    ck_assert_uint_eq(exercise->bar_count, 4);
    const struct score_bar *bars = exercise->bars;
    ck_assert(bars[0].repeat_begins && !bars[0].repeat_ends && !bars[0].ending);
    ck_assert(bars[1].ending_begins && !bars[1].ending_ends && !bars[1].repeat_ends);
    ck_assert(bars[2].ending_ends && bars[2].repeat_ends && bars[2].plays == 3);
    ck_assert(bars[3].ending_begins && bars[3].ending_ends && !bars[3].repeat_ends);
    ck_assert(bars[3].last && !bars[2].last);
    ck_assert_ptr_eq(bars[1].ending, bars[2].ending);
    built_release(&built);
}
END_TEST

START_TEST(every_time_through_needs_one_ending)
{
    static const char *const lists[] = {"      1:\n        - kick: 1\n",
                                        "      1, 2:\n        - kick: 1\n"
                                        "      2, 3:\n        - kick: 1\n",
                                        "      1:\n        - kick: 1\n"
                                        "      3:\n        - kick: 1\n"};
    for (size_t i = 0; i < 3; i++) {
        struct buffer text = {0};
        buffer_format(&text,
                      "title: T\nsubdivision: quarters\nexercises:\n  - title: E\n"
                      "    sticking: RL\n    repeat: 3\n    endings:\n%s",
                      lists[i]);
        struct built built = built_any(text.bytes);
        ck_assert_uint_ge(diags_errors(built.diags), 1);
        built_release(&built);
        buffer_release(&text);
    }
}
END_TEST

START_TEST(repeats_do_not_stand_in_each_other)
{
    struct built built = built_any("title: T\nsubdivision: quarters\nexercises:\n  - title: E\n"
                                   "    sticking: RL\n    repeat: 2\n    bars:\n"
                                   "      - repeat: 2\n      - kick: 1\n");
    ck_assert_uint_eq(built_count(&built, DIAG_CONFLICT), 1);
    built_release(&built);
}
END_TEST

START_TEST(the_meter_is_printed_where_it_changes)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nexercises:\n  - title: E\n"
                                     "    sticking: RL\n    bars:\n      - time: 4/4\n"
                                     "      - kick: 1\n      - time: 2+2+3/8\n"
                                     "      - time: 2+3+2/8\n      - time: 4/4\n");
    const struct score_bar *bars = built.score->exercises[0].bars;
    static const bool changes[] = {true, false, true, true, true};
    for (size_t i = 0; i < 5; i++)
        ck_assert_int_eq(bars[i].meter_changes, changes[i]);
    ck_assert_uint_eq(bars[2].beat_count, 3);
    built_release(&built);
}
END_TEST

START_TEST(dynamics_stand_at_their_counts)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nexercises:\n"
                                     "  - {title: E, sticking: RL, bars: 2, "
                                     "dynamics: {3&: f, 1:1: p, 2:1: cresc}}\n");
    const struct score_bar *bars = built.score->exercises[0].bars;
    ck_assert_uint_eq(bars[0].dynamic_count, 2);
    ck_assert_str_eq(bars[0].dynamics[0].text, "p");
    ck_assert_str_eq(bars[0].dynamics[1].text, "f");
    ck_assert(fraction_equal(bars[0].dynamics[1].onset, fraction_make(5, 8)));
    ck_assert_uint_eq(bars[1].dynamic_count, 2);
    ck_assert_str_eq(bars[1].dynamics[0].text, "cresc");
    built_release(&built);
}
END_TEST

START_TEST(counts_know_which_slots_are_struck)
{
    struct built built = built_right("title: T\nsubdivision: sixteenths\nexercises:\n"
                                     "  - title: E\n    sticking: R . R (L) | B . R L | .RL. | B\n"
                                     "    at: {4: rest}\n    kick: 1e\n");
    ck_assert_str_eq(built_counts(&built, 0, 0), "1 e & a 2 [e] & a [3] e & [a] [4] e [&] a");
    built_release(&built);
}
END_TEST

/* A foot alone keeps its count. It is counted in a finer division if the hands' is part of that. */
static const struct {
    const char *keys, *counts;
} with_feet[] = {
    {"subdivision: sixteenths, sticking: RL..RL.., kick: 1& 1a 2& 4&",
     "1 e & a 2 e & [a] 3 e [&] [a] 4 e & [a]"},
    {"subdivision: quarters, sticking: R.R., kick: 2 2& 4", "1 2 & 3 4"},
    {"subdivision: quarters, sticking: R.R., feet: {rhythm: _4 3(8*3) _2}", "1 2 trip let 3 [4]"},
    {"rhythm: 8 8 _4 4 _4, sticking: RLR, kick: 1e 2 2& 4&", "1 e & [a] 2 & 3 [4] &"},
    /* eighths above, triplets below: only the hands, and the beat that both share */
    {"subdivision: eighths, sticking: RL, feet: {rhythm: 3(8*3) _2.}", "1 & 2 & 3 & 4 &"},
    /* two against three: the beat between two notes of the triplet */
    {"subdivision: quarter triplets, sticking: RLR, hat-foot: 2 4", "1 trip 2 let 3 trip 4 let"},
    {"rhythm: 3(2 2 2), sticking: RLR, hat-foot: 2 4", "1 2 trip let 4"},
    {"rhythm: 5:4(4*5), sticking: RLRLR, hat-foot: 2 4", "1 2 3 4 5"},
};

START_TEST(the_feet_are_counted)
{
    struct buffer text = {0};
    buffer_format(&text, "title: T\nexercises:\n  - {%s}\n", with_feet[_i].keys);
    struct built built = built_right(buffer_text(&text));
    buffer_release(&text);
    ck_assert_str_eq(built_counts(&built, 0, 0), with_feet[_i].counts);
    built_release(&built);
}
END_TEST

/* Seven eighths are counted one to seven (common practice), and counts of the lesson mean those
   numbers; beams keep to the meter's beats. */
static const struct {
    const char *keys, *counts, *accented;
} by_units[] = {
    {"time: 7/8, subdivision: eighths, accents: 1 4 7", "1 2 3 4 5 6 7", "1 4 7"},
    {"time: 7/8, subdivision: eighths, accents: each beat", "1 2 3 4 5 6 7", "1 3 5"},
    {"time: 6/8, subdivision: sixteenths, accents: 2& 6", "1 & 2 & 3 & 4 & 5 & 6 &", "2& 6"},
    {"time: 5/8, rhythm: 8 16 16 8. 16 8, accents: 2& 4&", "1 2 & 3 [4] & 5", "2& 4&"},
    {"time: 7/8, subdivision: [eighth triplets, eighths, eighths], accents: 3",
     "1 trip let 3 4 5 6 7", "3"},
    {"time: 4/4, subdivision: eighths, accents: 2&", "1 & 2 & 3 & 4 &", "2&"},
    {"time: 12/8, subdivision: quadruplets, accents: 4", "1 e & a 4 e & a 7 e & a 10 e & a", "4"},
};

START_TEST(units_have_the_numbers)
{
    struct buffer text = {0}, accented = {0};
    buffer_format(&text, "title: T\nexercises:\n  - {counting: units, sticking: R, %s}\n",
                  by_units[_i].keys);
    struct built built = built_right(buffer_text(&text));
    ck_assert_str_eq(built_counts(&built, 0, 0), by_units[_i].counts);
    const struct score_bar *bar = built_bar(&built, 0, 0);
    const struct score_line *line = &bar->lines[LINE_HANDS];
    for (uint32_t i = 0; i < line->leaf_count; i++)
        for (uint16_t c = 0; leaf_struck(&line->leaves[i]) && c < bar->count_count; c++)
            if ((line->leaves[i].note->marks & MARK_ACCENT) &&
                fraction_equal(bar->counts[c].onset, line->leaves[i].onset))
                buffer_format(&accented, "%s%u%s", accented.length ? " " : "",
                              bar->counts[c].beat + 1u, bar->counts[c].name);
    ck_assert_str_eq(buffer_text(&accented), by_units[_i].accented);
    buffer_release(&text);
    buffer_release(&accented);
    built_release(&built);
}
END_TEST

START_TEST(a_sequence_has_no_bars_of_its_own)
{
    struct built built = built_right("title: T\nsubdivision: eighths\nlead: both\nexercises:\n"
                                     "  - {title: E, id: groove, sticking: RL}\n"
                                     "  - {title: F, sequence: groove*3}\n");
    const struct score_exercise *form = &built.score->exercises[2];
    ck_assert(form->sequence);
    ck_assert_uint_eq(form->bar_count, 0);
    ck_assert_uint_eq(built.score->exercise_count, 3);
    ck_assert_str_eq(form->title, "F");
    built_release(&built);
}
END_TEST

/* A `|` in a sticking is checked where it is played first; in later rounds it stands elsewhere. */
START_TEST(boundaries_of_a_cycle_hold_in_its_first_round)
{
    struct built built =
        built_right("title: T\nexercises:\n  - {title: E, subdivision: sixteenths, "
                    "sticking: RLRL | RL, bars: resolve}\n");
    ck_assert_uint_eq(built.score->exercises[0].bar_count, 3);
    built_release(&built);
}
END_TEST

/* What a bar says is nearer than what its exercise says. */
START_TEST(a_bar_goes_its_own_way)
{
    struct built built = built_right(
        "title: T\nsubdivision: quarters\nexercises:\n  - title: E\n    sticking: RLLR\n"
        "    play: {R: ride, L: snare}\n    kick: 1\n    accents: 1\n    at: {4: crash}\n"
        "    bars:\n      - repeat: 1\n"
        "      - {sticking: L, kick: 3, accents: 2, at: {1: china}}\n"
        "      - {play: {R: cowbell, L: woodblock}}\n");
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS), "R:ride> L:snare L:snare R:crash");
    /* at: the exercise's stays, the bar's comes to it; the rest is replaced */
    ck_assert_str_eq(built_strokes(&built, 0, 1, LINE_HANDS), "L:china L:snare> L:snare L:crash");
    ck_assert_str_eq(built_values(&built, 0, 1, LINE_FEET), "_2 | 4 | _4");
    ck_assert_str_eq(built_strokes(&built, 0, 2, LINE_HANDS),
                     "R:cowbell> L:woodblock L:woodblock R:crash");
    built_release(&built);
}
END_TEST

/* Bars of one grid that are struck alike have the same values, but where the bar before rings into
   one of them, and where tuplets are numbered otherwise. */
START_TEST(bars_that_are_struck_alike_are_written_alike)
{
    struct built built =
        built_right("title: T\nsubdivision: quarters\nexercises:\n  - title: E\n    bars:\n"
                    "      - {sticking: . L R L}\n      - {sticking: . L R L+}\n"
                    "      - {sticking: . R L R}\n      - {sticking: RLRL, at: {1: rest}}\n"
                    "  - {title: F, subdivision: eighth triplets, sticking: RLR, bars: 2,\n"
                    "     show: {tuplet-numbers: first}}\n"
                    "  - {title: G, subdivision: eighth triplets, sticking: RLR, bars: 2}\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "_4 | 4 | 4 | 4");
    ck_assert_str_eq(built_values(&built, 0, 1, LINE_HANDS), "_4 | 4 | 4 | 4");
    ck_assert_str_eq(built_values(&built, 0, 2, LINE_HANDS), "~4 | 4 | 4 | 4");
    ck_assert_str_eq(built_values(&built, 0, 3, LINE_HANDS), "_4 | 4 | 4 | 4");
    ck_assert_str_eq(built_strokes(&built, 0, 2, LINE_HANDS), "R:snare L:snare R:snare");
    ck_assert_str_eq(built_strokes(&built, 0, 3, LINE_HANDS), "L:snare R:snare L:snare");
    for (size_t bar = 0; bar < 2; bar++)
        for (size_t i = 0; i < 4; i++) {
            ck_assert(built_bar(&built, 1, bar)->lines[LINE_HANDS].tuplets[i].numbered == (i == 0));
            ck_assert(built_bar(&built, 2, bar)->lines[LINE_HANDS].tuplets[i].numbered);
        }
    built_release(&built);
}
END_TEST

/* The forty rudiments (Percussive Arts Society, 1984) by name, in both leads: the left lead is the
   right with the hands changed over. */
START_TEST(the_forty_rudiments_build_in_both_leads)
{
    for (int number = 1; number <= RUDIMENT_COUNT; number++) {
        struct buffer text = {0};
        buffer_format(&text,
                      "title: T\nexercises:\n  - {title: E, subdivision: sixteenths, lead: both, "
                      "sticking: '%s', bars: resolve}\n",
                      rudiment_get(number)->name);
        struct built built = built_right(text.bytes);
        ck_assert_uint_eq(built.score->exercise_count, 2);
        const struct score_exercise *right = &built.score->exercises[0], *left = right + 1;
        ck_assert_uint_eq(right->bar_count, left->bar_count);
        ck_assert(right->cycle.lines_up);
        for (size_t b = 0; b < right->bar_count; b++) {
            const struct score_line *a = &right->bars[b].lines[LINE_HANDS];
            const struct score_line *c = &left->bars[b].lines[LINE_HANDS];
            ck_assert_uint_eq(a->leaf_count, c->leaf_count);
            for (uint32_t i = 0; i < a->leaf_count; i++) {
                const struct note *r = a->leaves[i].note, *l = c->leaves[i].note;
                ck_assert_int_eq(!r, !l);
                if (!r)
                    continue;
                ck_assert(r->letter == 'B' ? l->letter == 'B' : r->letter != l->letter);
                ck_assert_uint_eq(r->marks, l->marks);
                ck_assert_uint_eq(r->grace_count, l->grace_count);
                ck_assert_uint_eq(r->graces ^ l->graces, (1u << r->grace_count) - 1);
            }
        }
        built_release(&built);
        buffer_release(&text);
    }
}
END_TEST

/* ---- limits ------------------------------------------------------------------------------- */

/* Voices by count find their own slots again, and the lesson's sticking is not for them. */
START_TEST(the_subdivision_of_a_lesson_is_taken_back)
{
    struct built built = built_right("subdivision: eighths\nsticking: RL\nexercises:\n"
                                     "  - {subdivision: none, hi-hat: eighths, snare: 2a 4}\n"
                                     "  - bars: [{}, {subdivision: none, rhythm: 2 2}]\n"
                                     "    sticking: RL\n");
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS), "8 8 | 8 16 16 | 8 8 | 8 8");
    ck_assert_str_eq(built_values(&built, 1, 0, LINE_HANDS), "8 8 | 8 8 | 8 8 | 8 8");
    ck_assert_str_eq(built_strokes(&built, 1, 1, LINE_HANDS), "R:snare L:snare");
    built_release(&built);
}
END_TEST

/* The sheet's figure goes round over the bar lines (three eighths of it in a bar of eight), with
   its accent once each time; a bar's own begins with the bar. */
START_TEST(a_rudiment_brings_its_rhythm_and_goes_round)
{
    struct built built =
        built_right("title: T\nsubdivision: eighths\nexercises:\n"
                    "  - {rudiment: double ratamacue, bars: resolve}\n"
                    "  - {rudiment: ratamacue, time: 2/4, kick: 1}\n"
                    "  - rudiment: paradiddle\n    time: 2/4\n    bars:\n"
                    "      - {}\n      - rudiment: lesson 25\n      - {rhythm: 4 4}\n"
                    "      - {time: 3/4, rudiment: paradiddle}\n");
    ck_assert_uint_eq(built.score->exercises[0].bar_count, 3); /* lcm(3, 8) / 8 */
    ck_assert_str_eq(built_values(&built, 0, 0, LINE_HANDS),
                     "8 3:2( 16 16 16 ) | 8 8 | 3:2( 16 16 16 ) 8 | 8 3:2( 16 16 16 )");
    ck_assert_str_eq(built_values(&built, 0, 1, LINE_HANDS),
                     "8 8 | 3:2( 16 16 16 ) 8 | 8 3:2( 16 16 16 ) | 8 8");
    ck_assert_str_eq(built_strokes(&built, 0, 1, LINE_HANDS),
                     "L:snare> rrL:snare rrL:snare R:snare L:snare R:snare> llR:snare llR:snare "
                     "L:snare R:snare L:snare> rrL:snare");
    ck_assert_uint_eq(built.score->exercises[1].bar_count, 1);
    ck_assert_str_eq(built_values(&built, 1, 0, LINE_HANDS),
                     "3:2( 16 16 16 ) 8 | 3:2( 16 16 16 ) 8");
    ck_assert_str_eq(built_counts(&built, 1, 0), "1 trip let & [trip] [let] "
                                                 "2 trip let & [trip] [let]");
    ck_assert_str_eq(built_strokes(&built, 2, 1, LINE_HANDS),
                     "llR:snare L:snare R:snare> llR:snare L:snare R:snare>");
    ck_assert_str_eq(built_strokes(&built, 2, 2, LINE_HANDS), "R:snare> L:snare");
    ck_assert_str_eq(built_strokes(&built, 2, 3, LINE_HANDS),
                     "R:snare> L:snare R:snare R:snare L:snare> R:snare L:snare L:snare "
                     "R:snare> L:snare R:snare R:snare");
    built_release(&built);
}
END_TEST

START_TEST(more_than_a_lesson_may_hold_is_told)
{
    struct built built = built_any("title: T\nexercises:\n"
                                   "  - {title: E, subdivision: thirty-seconds, sticking: R, "
                                   "bars: 10000}\n");
    ck_assert_uint_eq(built_count(&built, DIAG_LIMIT), 1); /* 320,000 strokes */
    built_release(&built);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bars");
    TCase *tcase = tcase_create("bars");
    tcase_add_test(tcase, the_subdivision_of_a_lesson_is_taken_back);
    tcase_add_test(tcase, a_rudiment_brings_its_rhythm_and_goes_round);
    tcase_add_test(tcase, a_pickup_is_counted_back_from_the_bar_line);
    tcase_add_test(tcase, a_pickup_is_shorter_than_its_bar);
    tcase_add_test(tcase, endings_follow_the_bars);
    tcase_add_test(tcase, every_time_through_needs_one_ending);
    tcase_add_test(tcase, repeats_do_not_stand_in_each_other);
    tcase_add_test(tcase, the_meter_is_printed_where_it_changes);
    tcase_add_test(tcase, dynamics_stand_at_their_counts);
    tcase_add_test(tcase, counts_know_which_slots_are_struck);
    tcase_add_loop_test(tcase, the_feet_are_counted, 0, sizeof with_feet / sizeof *with_feet);
    tcase_add_loop_test(tcase, units_have_the_numbers, 0, sizeof by_units / sizeof *by_units);
    tcase_add_test(tcase, a_sequence_has_no_bars_of_its_own);
    tcase_add_test(tcase, boundaries_of_a_cycle_hold_in_its_first_round);
    tcase_add_test(tcase, a_bar_goes_its_own_way);
    tcase_add_test(tcase, the_forty_rudiments_build_in_both_leads);
    tcase_add_test(tcase, more_than_a_lesson_may_hold_is_told);
    tcase_add_test(tcase, bars_that_are_struck_alike_are_written_alike);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
