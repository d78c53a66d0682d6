/* The lesson in the terminal: what stands where, to the cell. Positions are those of exact time:
   within a beat of n equal units, onset k/n stands k units from its begin. */
#include "build/build.h"
#include "chart/chart.h"
#include "read/read.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

/* The grid of a lesson of one exercise, without its heading and legend. */
static void expect_grid(const char *exercise, size_t columns, const char *expected)
{
    struct buffer text = {0}, out = {0};
    buffer_format(&text, "exercises:\n  - {title: T, %s}\n", exercise);
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct read_source source = {"grid.yaml", text.bytes, text.length};
    struct lesson *lesson = read_lesson(arena, source, NULL, diags);
    ck_assert_ptr_nonnull(lesson);
    struct score *score = build_score(lesson, diags);
    ck_assert_msg(diags_errors(diags) == 0, "%s: %s", exercise,
                  diags_errors(diags) ? diags_get(diags, 0)->message : "");
    chart_write(score, (struct exercise_choice){0}, columns, &out);
    const char *begin = strstr(buffer_text(&out), "\n  ");
    ck_assert_ptr_nonnull(begin);
    size_t length = strlen(begin + 1);
    const char *legend = strstr(begin, "\n\n\u25CF");
    if (legend)
        length = (size_t)(legend - begin);
    char *grid = arena_copy_text(arena, begin + 1, length);
    ck_assert_str_eq(grid, expected);
    arena_free(arena);
    buffer_release(&text);
    buffer_release(&out);
}

START_TEST(counts_stand_across_and_voices_down)
{
    expect_grid("time: 2/4, subdivision: sixteenths, sticking: RLRR LRLL", 80,
                "  bar 1    │1 e & a ┊2 e & a │\n"
                "  sticking │R L R R ┊L R L L │\n"
                "  snare    │● ● ● ● ┊● ● ● ● │\n");
}
END_TEST

START_TEST(a_triplet_over_sixteenths_shows_where_it_falls)
{
    /* lcm(4, 3) = 12 units: sixteenths on 0 3 6 9, the feet's triplet on 0 4 8. */
    expect_grid("time: 1/4, subdivision: sixteenths, sticking: RLRL, "
                "feet: {subdivision: eighth triplets, sticking: RRL}",
                80,
                "  bar 1       │1  e  &  a  │\n"
                "  sticking    │R  L  R  L  │\n"
                "  snare       │●  ●  ●  ●  │\n"
                "  bass-drum   │●   ●       │\n"
                "  hi-hat-foot │        ●   │\n");
}
END_TEST

START_TEST(five_against_four_needs_twenty_units)
{
    /* lcm(4, 5) = 20: sixteenths on 0 5 10 15, quintuplets on 0 4 8 12 16. */
    expect_grid("time: 1/4, subdivision: quintuplets, sticking: RLRLL, "
                "feet: {subdivision: sixteenths, sticking: R}",
                80,
                "  bar 1     │1   2   3   4   5   │\n"
                "  sticking  │R   L   R   L   L   │\n"
                "  snare     │●   ●   ●   ●   ●   │\n"
                "  bass-drum │●    ●    ●    ●    │\n");
}
END_TEST

START_TEST(words_as_long_as_trip_make_room_for_themselves)
{
    expect_grid("time: 2/4, subdivision: eighth triplets, sticking: RLL", 80,
                "  bar 1    │1    trip let  ┊2    trip let  │\n"
                "  sticking │R    L    L    ┊R    L    L    │\n"
                "  snare    │●    ●    ●    ┊●    ●    ●    │\n");
}
END_TEST

START_TEST(beats_of_a_bar_are_equally_wide_while_they_fit)
{
    const char *mixed = "time: 2/4, sticking: RL, subdivision: [eighths, eighth triplets]";
    expect_grid(mixed, 80,
                "  bar 1    │1      &       ┊2    trip let  │\n"
                "  sticking │R      L       ┊R    L    R    │\n"
                "  snare    │●      ●       ┊●    ●    ●    │\n");
    expect_grid(mixed, 40,
                "  bar 1    │1 & ┊2    trip let  │\n"
                "  sticking │R L ┊R    L    R    │\n"
                "  snare    │● ● ┊●    ●    ●    │\n");
}
END_TEST

START_TEST(loudness_has_signs_and_words)
{
    expect_grid("time: 2/4, subdivision: eighths, sticking: R>L^(R)L, dynamics: {1: p, 2: cresc}",
                80,
                "  bar 1    │1 & ┊2 & │\n"
                "  loudness  p    cresc\n"
                "  sticking │R L ┊R L │\n"
                "  snare    │▲ ◆ ┊○ ● │\n");
}
END_TEST

START_TEST(strokes_are_written_as_in_stroke_lines)
{
    expect_grid("time: 2/4, subdivision: eighths, sticking: lR R/ llR Lz", 80,
                "  bar 1    │  1  &  ┊  2  &  │\n"
                "  sticking │ lR  R/ ┊llR  Lz │\n"
                "  snare    │  ●  ●  ┊  ●  ●  │\n");
}
END_TEST

START_TEST(both_hands_on_one_voice_are_one_sign)
{
    expect_grid("time: 1/4, subdivision: eighths, sticking: BR", 80,
                "  bar 1    │1 & │\n"
                "  sticking │B R │\n"
                "  snare    │● ● │\n");
}
END_TEST

START_TEST(voices_stand_from_high_to_low_the_feet_below)
{
    expect_grid("time: 2/4, subdivision: eighths, sticking: RL, play: {R: floor-tom, L: ride}, "
                "hat-foot: 2, kick: 1",
                80,
                "  bar 1       │1 & ┊2 & │\n"
                "  sticking    │R L ┊R L │\n"
                "  ride        │  ● ┊  ● │\n"
                "  floor-tom   │●   ┊●   │\n"
                "  bass-drum   │●   ┊    │\n"
                "  hi-hat-foot │    ┊●   │\n");
}
END_TEST

START_TEST(lines_break_between_bars)
{
    expect_grid("time: 2/4, subdivision: eighths, sticking: RL, bars: 3", 36,
                "  bars 1-2 │1 & ┊2 & │1 & ┊2 & │\n"
                "  sticking │R L ┊R L │R L ┊R L │\n"
                "  snare    │● ● ┊● ● │● ● ┊● ● │\n"
                "\n"
                "  bar 3    │1 & ┊2 & │\n"
                "  sticking │R L ┊R L │\n"
                "  snare    │● ● ┊● ● │\n");
}
END_TEST

START_TEST(a_bar_wider_than_the_line_breaks_between_beats)
{
    expect_grid("time: 2/4, subdivision: sixteenths, sticking: RL", 28,
                "  bar 1    │1 e & a ┊\n"
                "  sticking │R L R L ┊\n"
                "  snare    │● ● ● ● ┊\n"
                "\n"
                "  bar 1    ┊2 e & a │\n"
                "  sticking ┊R L R L │\n"
                "  snare    ┊● ● ● ● │\n");
}
END_TEST

START_TEST(repeats_and_meters_are_told)
{
    expect_grid("repeat: 3, bars: [{time: 2/4, subdivision: eighths, sticking: RL}, "
                "{time: 3/8, subdivision: eighths, sticking: R}]",
                80,
                "  bar 1    ║1  &  ┊2  &  │\n"
                "  sticking ║R  L  ┊R  L  │\n"
                "  snare    ║●  ●  ┊●  ●  │\n"
                "\n"
                "  3/8\n"
                "  bar 2    │1 & a ║×3\n"
                "  sticking │R R R ║\n"
                "  snare    │● ● ● ║\n");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("grid");
    TCase *tests = tcase_create("grid");
    tcase_add_test(tests, counts_stand_across_and_voices_down);
    tcase_add_test(tests, a_triplet_over_sixteenths_shows_where_it_falls);
    tcase_add_test(tests, five_against_four_needs_twenty_units);
    tcase_add_test(tests, words_as_long_as_trip_make_room_for_themselves);
    tcase_add_test(tests, beats_of_a_bar_are_equally_wide_while_they_fit);
    tcase_add_test(tests, loudness_has_signs_and_words);
    tcase_add_test(tests, strokes_are_written_as_in_stroke_lines);
    tcase_add_test(tests, both_hands_on_one_voice_are_one_sign);
    tcase_add_test(tests, voices_stand_from_high_to_low_the_feet_below);
    tcase_add_test(tests, lines_break_between_bars);
    tcase_add_test(tests, a_bar_wider_than_the_line_breaks_between_beats);
    tcase_add_test(tests, repeats_and_meters_are_told);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
