/* What a page shows of small lessons: one idea a case, set with plain metrics. */
#include "base/buffer.h"
#include "layout/layout_state.h"
#include "shown_page.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- staves and heads --------------------------------------------------------------------- */

START_TEST(one_voice_of_the_hands_stands_on_one_line)
{
    open_exercise("    subdivision: eighths\n    sticking: RL\n");
    ck_assert_uint_eq(count_of(ROLE_STAFF_LINE), 1);
}
END_TEST

START_TEST(a_kick_brings_the_five_lines)
{
    open_exercise("    subdivision: eighths\n    sticking: RL\n    kick: 1\n");
    ck_assert_uint_eq(count_of(ROLE_STAFF_LINE), 5);
}
END_TEST

/* The crash has its place on the first line above the staff (engraving design, Voices). */
START_TEST(a_crash_has_one_leger)
{
    open_lesson("page: {staff-lines: 5}\nexercises:\n"
                "  - {subdivision: quarters, sticking: R, play: {R: crash}}\n");
    ck_assert_uint_eq(count_of(ROLE_LEGER), 4);
}
END_TEST

/* Crash and china share a staff place: their heads tell them apart, beside each other. */
START_TEST(two_voices_of_one_place_keep_both_heads)
{
    open_exercise("    subdivision: quarters\n    sticking: B\n    play: {R: crash, L: china}\n");
    ck_assert_uint_eq(count_of(ROLE_HEAD), 8);
    ck_assert_int_gt(mark_of(ROLE_HEAD, 1)->box.left, mark_of(ROLE_HEAD, 0)->box.left + 500);
}
END_TEST

START_TEST(hands_stems_go_up_and_feet_stems_down)
{
    open_exercise("    subdivision: quarters\n    sticking: R\n    kick: 1\n");
    for (size_t i = 0; i < count_of(ROLE_STEM); i++) {
        const struct mark *stem = mark_of(ROLE_STEM, i);
        bool up = stem->as.ends.to.y < stem->as.ends.from.y;
        ck_assert(up == (stem->owner.line == LINE_HANDS));
    }
}
END_TEST

START_TEST(stems_up_joins_what_coincides)
{
    open_exercise("    subdivision: quarters\n    sticking: R\n    kick: 1\n    stems: up\n");
    ck_assert_uint_eq(count_of(ROLE_STEM), 4);
    ck_assert_uint_eq(count_of(ROLE_HEAD), 5);
}
END_TEST

/* ---- columns ------------------------------------------------------------------------------ */

/* Where limbs play against each other time is space: three over two puts the foot's second half
   way between the hand's second and third. */
START_TEST(a_polyrhythm_is_spaced_as_it_sounds)
{
    open_exercise("    time: 2/4\n    subdivision: quarter triplets\n    sticking: RLR\n"
                  "    feet: {subdivision: quarters, sticking: RL}\n");
    const struct page_column *columns = page->systems[0].columns;
    ck_assert_uint_eq(page->systems[0].column_count, 4);
    sp first = columns[1].x - columns[0].x, second = columns[2].x - columns[1].x;
    sp third = columns[3].x - columns[2].x;
    ck_assert_int_le(abs(second - third), 2);
    ck_assert_int_le(abs(first - second - third), 4);
}
END_TEST

/* Equal values in a row stay equal: lines are broken before their ink would push some apart. */
START_TEST(ghosts_in_a_row_are_spaced_alike)
{
    open_exercise("    subdivision: sixteenths\n    sticking: RLLRRL\n    bars: 3\n"
                  "    play: {R: ride, L: snare ghost}\n");
    for (size_t s = 0; s < page->system_count; s++)
        for (size_t i = 0; i + 1 < page->systems[s].column_count; i++) {
            const struct page_column *column = &page->systems[s].columns[i];
            ck_assert(!column->pushed || column[1].bar != column->bar);
        }
}
END_TEST

START_TEST(space_grows_with_the_root_of_the_duration)
{
    open_exercise("    bars:\n      - {rhythm: 4 4 8 8 4, sticking: R L R L R}\n");
    const struct page_column *columns = page->systems[0].columns;
    double quarter = columns[1].x - columns[0].x, eighth = columns[3].x - columns[2].x;
    ck_assert_double_eq_tol(quarter / eighth, 1.414, 0.002);
}
END_TEST

/* The kick's triplet cannot be counted beside sixteenths, so it is not counted beside a quarter
 * either. */
START_TEST(a_triplet_of_the_feet_is_counted_in_all_bars_or_none)
{
    static const char alone[] = "    time: 2/4\n    kick: 1 2let of eighth triplets\n"
                                "    bars:\n      - {rhythm: 8 8 4, sticking: R L R}\n";
    char both[256];
    open_exercise(alone);
    ck_assert_str_eq(texts_of(ROLE_SYLLABLE), "1 & 2 let");
    teardown();
    snprintf(both, sizeof both, "%s      - {subdivision: sixteenths, sticking: RLRL}\n", alone);
    open_exercise(both);
    ck_assert_str_eq(texts_of(ROLE_SYLLABLE), "1 & 2 1 e & a 2 e & a");
}
END_TEST

START_TEST(silent_slots_of_the_grid_are_counted)
{
    open_exercise("    subdivision: eighth triplets\n    sticking: R.L\n"
                  "    show: {counts: grid}\n");
    ck_assert_str_eq(texts_of(ROLE_SYLLABLE),
                     "1 (trip) let 2 (trip) let 3 (trip) let 4 (trip) let");
    ck_assert_str_eq(texts_of(ROLE_STICKING), "R L R L R L R L");
}
END_TEST

/* ---- beams -------------------------------------------------------------------------------- */

static sp length_of(const struct mark *beam)
{
    return beam->as.ends.to.x - beam->as.ends.from.x;
}

/* First beam over the whole beat, second broken between the threes: each has its bracket, of two
   sides. */
START_TEST(sixteenth_triplets_break_their_second_beam)
{
    open_exercise("    subdivision: sixteenth triplets\n    sticking: RL\n");
    ck_assert_uint_eq(count_of(ROLE_BEAM), 4 * 3);
    ck_assert_uint_eq(count_of(ROLE_TUPLET_NUMBER), 8);
    ck_assert_uint_eq(count_of(ROLE_TUPLET_BRACKET), 8 * 4);
    ck_assert_int_gt(length_of(mark_of(ROLE_BEAM, 0)), 2 * length_of(mark_of(ROLE_BEAM, 1)));
}
END_TEST

/* A stub lies on its own note's side: left of the last, right of the first. */
START_TEST(stubs_stand_on_their_own_side)
{
    open_exercise(
        "    bars:\n      - {rhythm: 8. 16 16 8. 16 8 16 4, sticking: R L R L R L R L}\n");
    const struct mark *after = mark_of(ROLE_BEAM, 1), *before = mark_of(ROLE_BEAM, 3);
    ck_assert_int_eq(after->as.ends.to.x, mark_of(ROLE_BEAM, 0)->as.ends.to.x);
    ck_assert_int_eq(before->as.ends.from.x, mark_of(ROLE_BEAM, 2)->as.ends.from.x);
    const struct mark *whole = mark_of(ROLE_BEAM, 4);
    ck_assert_int_eq(mark_of(ROLE_BEAM, 5)->as.ends.from.x, whole->as.ends.from.x);
    ck_assert_int_eq(mark_of(ROLE_BEAM, 6)->as.ends.to.x, whole->as.ends.to.x);
}
END_TEST

START_TEST(level_beams_are_level)
{
    open_exercise("    subdivision: sixteenths\n    sticking: RLRL\n"
                  "    play: {R: high-tom, L: floor-tom}\n");
    for (size_t i = 0; i < count_of(ROLE_BEAM); i++)
        ck_assert_int_eq(mark_of(ROLE_BEAM, i)->as.ends.from.y,
                         mark_of(ROLE_BEAM, i)->as.ends.to.y);
}
END_TEST

START_TEST(sloped_beams_rise_half_a_space_at_most)
{
    open_exercise("    subdivision: sixteenths\n    sticking: RRRL\n    beams: sloped\n"
                  "    play: {R: floor-tom, L: crash}\n");
    const struct mark *beam = mark_of(ROLE_BEAM, 0);
    sp rise = beam->as.ends.from.y - beam->as.ends.to.y;
    ck_assert_int_gt(rise, 0);
    ck_assert_int_le(rise, 501);
}
END_TEST

START_TEST(eight_thirty_seconds_are_four_and_four)
{
    open_exercise("    time: 2/4\n    subdivision: thirty-seconds\n    sticking: RL\n");
    ck_assert_uint_eq(count_of(ROLE_BEAM), 2 * (1 + 2 + 2));
}
END_TEST

/* ---- tuplets ------------------------------------------------------------------------------ */

START_TEST(a_rest_at_its_edge_gives_a_tuplet_a_bracket)
{
    open_exercise("    bars:\n      - {rhythm: \"3(_8 8 8) 3(8 8 8) 2\", sticking: R L R L R L}\n");
    ck_assert_uint_eq(count_of(ROLE_TUPLET_NUMBER), 2);
    ck_assert_uint_eq(count_of(ROLE_TUPLET_BRACKET), 4); /* two arms and two hooks */
}
END_TEST

START_TEST(inner_tuplets_stand_nearer_the_notes)
{
    open_exercise("    bars:\n      - {rhythm: \"3(4 3(8*3) 4) 2\", sticking: R LRL R L}\n");
    ck_assert_int_gt(mark_of(ROLE_TUPLET_NUMBER, 0)->as.at.y,
                     mark_of(ROLE_TUPLET_NUMBER, 1)->as.at.y);
}
END_TEST

/* Stone 1980 and Gould 2011, from memory: a bracket each, as numbers over one beam run together. */
START_TEST(nested_tuplets_have_brackets_under_one_beam_too)
{
    open_exercise("    bars: [{rhythm: 3(8 3(16*3) 8) 4 2}]\n");
    ck_assert_uint_eq(count_of(ROLE_TUPLET_NUMBER), 2);
    ck_assert_uint_eq(count_of(ROLE_TUPLET_BRACKET), 8);
    ck_assert_int_lt(mark_of(ROLE_TUPLET_NUMBER, 1)->box.bottom,
                     mark_of(ROLE_TUPLET_NUMBER, 0)->box.top);
}
END_TEST

START_TEST(feet_in_the_hands_triplet_need_no_number)
{
    open_exercise("    subdivision: eighth triplets\n    sticking: RLR\n    kick: 1trip 2let\n");
    ck_assert_uint_eq(count_of(ROLE_TUPLET_NUMBER), 4);
}
END_TEST

/* ---- marks -------------------------------------------------------------------------------- */

START_TEST(near_accents_stand_on_one_line)
{
    open_exercise("    subdivision: sixteenths\n    sticking: R>LRL L>RLR\n"
                  "    play: {R: mid-tom, L: snare}\n");
    sp y = mark_of(ROLE_ACCENT, 0)->as.at.y;
    for (size_t i = 1; i < count_of(ROLE_ACCENT); i++)
        ck_assert_int_eq(mark_of(ROLE_ACCENT, i)->as.at.y, y);
}
END_TEST

START_TEST(a_flam_is_slashed_and_a_drag_is_beamed)
{
    open_exercise("    subdivision: quarters\n    sticking: lR llR\n    bars: 1\n    time: 2/4\n");
    ck_assert_uint_eq(count_of(ROLE_GRACE_HEAD), 3);
    ck_assert_uint_eq(count_of(ROLE_GRACE_SLASH), 1);
    ck_assert_uint_eq(count_of(ROLE_GRACE_BEAM), 2);
    ck_assert_uint_eq(count_of(ROLE_GRACE_SLUR), 2);
    ck_assert_str_eq(texts_of(ROLE_STICKING), "R L R L L");
}
END_TEST

START_TEST(a_diddle_sits_mid_stem)
{
    open_exercise("    subdivision: quarters\n    sticking: R/\n");
    const struct mark *stem = mark_of(ROLE_STEM, 0), *slash = mark_of(ROLE_STEM_MARK, 0);
    sp middle = (slash->box.top + slash->box.bottom) / 2;
    ck_assert_int_le(abs(middle - (stem->box.top + stem->box.bottom) / 2), 100);
}
END_TEST

START_TEST(an_additive_meter_shows_its_sum)
{
    open_exercise("    time: 2+2+3/8\n    subdivision: eighths\n    sticking: RL\n");
    ck_assert_uint_eq(count_glyph(GLYPH_METER_PLUS), 2);
    ck_assert_uint_eq(count_glyph(GLYPH_METER_2), 2);
    ck_assert_uint_eq(count_glyph(GLYPH_METER_3), 1);
    ck_assert_uint_eq(count_glyph(GLYPH_METER_8), 1);
}
END_TEST

/* From the second line of a title to the text below it, with the real fonts: plain ink is all
 * alike. */
static sp below_title(const char *last_word)
{
    char text[400];
    snprintf(
        text, sizeof text,
        "page: {columns: 2}\nexercises:\n  - title: A title that takes more than one line, %s\n"
        "    text: Text.\n    sticking: RL\n    subdivision: eighths\n"
        "  - title: Two\n    sticking: LR\n    subdivision: eighths\n",
        last_word);
    set_lesson_open(&set, "titles.yaml", text, strlen(text), NULL, true);
    ck_assert_ptr_nonnull(set.layout);
    page = layout_page(set.layout, 1);
    ck_assert_uint_eq(count_of(ROLE_HEADING), 3);
    return mark_of(ROLE_INSTRUCTION, 0)->as.at.y - mark_of(ROLE_HEADING, 1)->as.at.y;
}

START_TEST(a_text_is_as_far_below_a_title_of_any_letters)
{
    sp below_g = below_title("an egg");
    set_lesson_close(&set);
    ck_assert_int_eq(below_title("an oar"), below_g);
}
END_TEST

/* Hebrew: a title beside its number, and its text below it with even right ends. */
START_TEST(a_text_from_the_right_begins_below_its_title)
{
    static const char text[] =
        "exercises:\n  - title: תרגיל\n    sticking: RL\n    subdivision: eighths\n    text: "
        "זה תרגיל עם טקסט ארוך יותר שצריך יותר משורה אחת כדי לראות מה קורה כשהשורה נשברת "
        "לשתיים ואולי לשלוש שורות מתחת לכותרת\n";
    set_lesson_open(&set, "hebrew.yaml", text, sizeof text - 1, NULL, true);
    page = layout_page(set.layout, 1);
    ck_assert_uint_gt(count_of(ROLE_INSTRUCTION), 1);
    sp title = mark_of(ROLE_HEADING, 0)->as.at.x, left = INT32_MAX;
    sp right = mark_of(ROLE_INSTRUCTION, 0)->box.right;
    for (size_t i = 0; i < count_of(ROLE_INSTRUCTION); i++) {
        const struct mark *line = mark_of(ROLE_INSTRUCTION, i);
        left = line->as.at.x < left ? line->as.at.x : left;
        ck_assert_int_le(abs(line->box.right - right), 300); /* side bearings differ */
    }
    ck_assert_int_eq(left, title);
}
END_TEST

/* The text of two leads, which may be about either, is printed once. */
START_TEST(the_text_of_both_leads_is_printed_once)
{
    open_lesson(
        "page: {columns: 1}\nexercises:\n  - title: Sixes\n    lead: both\n"
        "    text: Once.\n    subdivision: sixteenths\n    sticking: RLLRRL\n    bars: 3\n");
    ck_assert_str_eq(texts_of(ROLE_INSTRUCTION), "Once.");
    ck_assert_uint_eq(count_of(ROLE_HEADING), 2);
}
END_TEST

START_TEST(a_repeat_is_counted_on_the_line_of_a_short_text)
{
    open_exercise("    text: Short.\n    subdivision: eighths\n    sticking: RL\n    bars: 2\n"
                  "    repeat: 4\n    accents: 4&\n");
    ck_assert_int_eq(mark_of(ROLE_PLAYS, 0)->as.at.y, mark_of(ROLE_INSTRUCTION, 0)->as.at.y);
}
END_TEST

START_TEST(a_repeat_says_how_often)
{
    open_exercise("    subdivision: quarters\n    sticking: RL\n    repeat: 4\n");
    ck_assert_str_eq(texts_of(ROLE_PLAYS), "play 4 times");
    ck_assert_uint_eq(count_of(ROLE_REPEAT_DOT), 2);
}
END_TEST

START_TEST(the_last_row_stands_clear_of_the_foot)
{
    static const char *const staves[] = {"4", "7", "12"};
    for (size_t i = 0; i < sizeof staves / sizeof *staves; i++) {
        char text[256];
        snprintf(text, sizeof text,
                 "page: {staff: %s, bars-per-line: 1}\nexercises:\n"
                 "  - {sticking: RL, subdivision: quarters, bars: 60}\n",
                 staves[i]);
        if (i > 0)
            teardown();
        open_lesson(text);
        ck_assert_uint_gt(page->count, 1);
        sp rule = mark_of(ROLE_RULE, count_of(ROLE_RULE) - 1)->box.top;
        ck_assert_int_ge(rule - page->systems[page->system_count - 1].box.bottom, 2900);
    }
}
END_TEST

/* ---- the page ----------------------------------------------------------------------------- */

START_TEST(the_key_names_the_voices_that_are_used)
{
    open_exercise(
        "    subdivision: eighths\n    sticking: R(L)\n    play: {R: ride}\n    kick: 1\n");
    ck_assert_str_eq(texts_of(ROLE_KEY_LABEL), "snare ghost note ride bass drum");
}
END_TEST

/* A pad stands where the snare does. */
START_TEST(voices_that_look_alike_are_one_item_of_the_key)
{
    open_lesson("exercises:\n  - {sticking: RL, subdivision: eighths, play: {R: practice-pad, L: "
                "practice-pad}}\n"
                "  - {sticking: RL, subdivision: eighths, play: {R: hi-hat, L: snare}}\n");
    ck_assert_str_eq(texts_of(ROLE_KEY_LABEL), "snare, practice pad hi-hat");
}
END_TEST

/* The number of an exercise stands inside its ring, however long it is: with the real fonts. */
START_TEST(numbers_of_any_length_stand_in_their_rings)
{
    enum { EXERCISES = 101, LINE = 64 };
    static char text[EXERCISES * LINE];
    size_t length = (size_t)snprintf(text, sizeof text, "exercises:\n");
    for (int i = 0; i < EXERCISES; i++)
        length += (size_t)snprintf(text + length, sizeof text - length,
                                   "  - {sticking: RL, subdivision: quarters}\n");
    set_lesson_open(&set, "rings.yaml", text, length, NULL, true);
    size_t seen = 0;
    for (uint32_t number = 1; number <= layout_page_count(set.layout); number++) {
        page = layout_page(set.layout, number);
        const struct mark *ring = NULL;
        for (size_t i = 0; i < page->mark_count; i++) {
            const struct mark *mark = &page->marks[i];
            if (mark->role == ROLE_HEADING_RING)
                ring = mark; /* the last one is the inner one, if there are two */
            if (mark->role != ROLE_HEADING_NUMBER)
                continue;
            ck_assert_ptr_nonnull(ring);
            seen++;
            ck_assert_double_lt(
                hypot(mark->box.right - mark->box.left, mark->box.bottom - mark->box.top),
                2 * (ring->radius - ring->with.width / 2.0));
        }
    }
    ck_assert_uint_eq(seen, EXERCISES);
}
END_TEST

/* Nine voices take two rows: five and four, in columns. */
START_TEST(rows_of_the_key_are_filled_alike)
{
    open_exercise("    subdivision: sixteenths\n    sticking: RLRR LRLL\n    play:\n"
                  "      R: [hi-hat, ride, crash, floor-tom]\n      L: [snare, high-tom, mid-tom]\n"
                  "    kick: 1\n    hat-foot: 2\n");
    enum { VOICES = 9, ROW = 5 };
    ck_assert_uint_eq(count_of(ROLE_KEY_LABEL), VOICES);
    for (size_t i = 0; i < VOICES; i++) {
        const struct mark *label = mark_of(ROLE_KEY_LABEL, i);
        const struct mark *head = mark_of(ROLE_KEY_LABEL, i % ROW);
        const struct mark *first = mark_of(ROLE_KEY_LABEL, i - i % ROW);
        ck_assert_int_eq(label->as.at.x, head->as.at.x);
        ck_assert_int_eq(label->as.at.y, first->as.at.y);
    }
    ck_assert_int_gt(mark_of(ROLE_KEY_LABEL, ROW)->as.at.y, mark_of(ROLE_KEY_LABEL, 0)->as.at.y);
}
END_TEST

/* Snare and floor tom: a drum is a rim and its hoop, the stool one ring. 14 inches are 35.56 cm, 16
   are 40.64; the bar says how long 50 cm are. */
static void open_plan(const char *handed)
{
    char text[300];
    snprintf(text, sizeof text,
             "show: [plan]\nkit: {handed: %s}\nexercises:\n  - sticking: RL\n    subdivision: "
             "eighths\n    play: {R: floor-tom, L: snare}\n    kick: 1\n",
             handed);
    open_lesson(text);
}

START_TEST(the_plan_is_to_scale)
{
    open_plan("right");
    ck_assert_str_eq(texts_of(ROLE_PLAN_LABEL),
                     "seen from above stool snare floor tom bass drum 50 cm");
    ck_assert_uint_eq(count_of(ROLE_PLAN_RIM), 5);
    ck_assert_uint_eq(count_of(ROLE_PLAN_PEDAL), 1);
    const struct mark *snare = mark_of(ROLE_PLAN_RIM, 1), *tom = mark_of(ROLE_PLAN_RIM, 3);
    double cm = length_of(mark_of(ROLE_PLAN_SCALE, 0)) / 50.0;
    ck_assert_double_eq_tol(snare->radius / cm, 35.56 / 2, 0.5);
    ck_assert_double_eq_tol(tom->radius / cm, 40.64 / 2, 0.5);
    ck_assert_double_eq_tol((tom->as.at.x - snare->as.at.x) / cm, 55, 0.1);
    ck_assert_double_eq_tol((tom->as.at.y - snare->as.at.y) / cm, 2, 0.1);
}
END_TEST

START_TEST(the_plan_of_a_left_handed_kit_is_mirrored)
{
    open_plan("left");
    double cm = length_of(mark_of(ROLE_PLAN_SCALE, 0)) / 50.0;
    const struct mark *snare = mark_of(ROLE_PLAN_RIM, 1), *tom = mark_of(ROLE_PLAN_RIM, 3);
    ck_assert_double_eq_tol((tom->as.at.x - snare->as.at.x) / cm, -55, 0.1);
}
END_TEST

/* 45, 20 and 15 cm above the snare: crash, hats and high tom (src/model/voice.h). The hats' pedal
   is under them all. What is drawn later covers what is below it. */
START_TEST(in_the_plan_what_is_higher_covers_what_is_lower)
{
    open_lesson("show: [plan]\nexercises:\n  - sticking: RL\n    subdivision: eighths\n"
                "    play: {R: crash, L: high-tom}\n    hat-foot: 1\n"
                "  - sticking: RL\n    subdivision: eighths\n    play: {R: hi-hat, L: high-tom}\n");
    ck_assert_str_eq(texts_of(ROLE_PLAN_LABEL),
                     "seen from above stool high tom hi-hat crash hi-hat foot 50 cm");
    const struct mark *pedal = mark_of(ROLE_PLAN_PEDAL, 0), *hats = mark_of(ROLE_PLAN_RIM, 3);
    ck_assert(pedal < hats);
    ck_assert_int_lt(pedal->box.top, hats->box.bottom);
    ck_assert_int_gt(pedal->box.bottom, hats->box.bottom); /* its heel shows */
    ck_assert(mark_is_opaque(hats) && mark_is_opaque(pedal));
    ck_assert(!mark_is_opaque(mark_of(ROLE_PLAN_SCALE, 0)));
}
END_TEST

START_TEST(no_plan_is_printed_unasked)
{
    open_exercise("    subdivision: eighths\n    sticking: RL\n");
    ck_assert_uint_eq(count_of(ROLE_PLAN_RIM), 0);
}
END_TEST

START_TEST(a_ladder_climbs_in_even_rungs)
{
    open_lesson("tempo: 60-96\nshow: {ladder: yes}\nexercises:\n  - {sticking: RL, subdivision: "
                "eighths}\n");
    ck_assert_str_eq(texts_of(ROLE_LADDER_STEP), "60 66 72 78 84 90 96");
    ck_assert_uint_eq(count_of(ROLE_LADDER_BOX), 7);
    ck_assert_uint_ge(count_of(ROLE_CAUTION), 1);
}
END_TEST

START_TEST(no_rung_crowds_the_goal)
{
    open_lesson("tempo: 66-92\nshow: {ladder: yes}\nexercises:\n  - {sticking: RL, subdivision: "
                "eighths}\n");
    ck_assert_str_eq(texts_of(ROLE_LADDER_STEP), "66 71 76 81 86 92");
}
END_TEST

START_TEST(a_tempo_or_swing_of_a_bar_stands_over_it)
{
    open_exercise("    tempo: 60\n    subdivision: eighths\n    sticking: RL\n    bars:\n"
                  "      - swing: straight\n      - swing: 2/3\n      - swing: 2/3\n"
                  "        tempo: 8.=72\n");
    ck_assert_str_eq(texts_of(ROLE_TEMPO), "= 60 straight swing = = 72");
    static const uint32_t bars[] = {0, 1, 1, 2};
    for (size_t i = 0; i < 4; i++)
        ck_assert_uint_eq(mark_of(ROLE_TEMPO, i + 1)->owner.bar, bars[i]);
}
END_TEST

START_TEST(a_sequence_shows_its_form)
{
    open_lesson("subdivision: eighths\nexercises:\n  - {title: Groove, id: groove, sticking: RL}\n"
                "  - {title: Fill, id: fill, sticking: RRLL}\n"
                "  - {title: The form, sequence: groove*3 fill}\n");
    ck_assert_str_eq(texts_of(ROLE_INSTRUCTION), "Groove \u00d7 3 Fill");
}
END_TEST

START_TEST(only_the_exercises_asked_for_are_printed)
{
    open_lesson("show: {key: no}\nsubdivision: eighths\nexercises:\n  - {title: One, sticking: "
                "RL}\n  - {title: "
                "Two, sticking: RRLL}\n");
    uint32_t second = 2;
    struct layout *layout = layout_new(
        set.score, &set.metrics, (struct layout_options){.exercises = {&second, 1}}, set.diags);
    sp y;
    page = layout_page(layout, 1);
    ck_assert_str_eq(texts_of(ROLE_HEADING), "Two");
    ck_assert_uint_eq(layout_exercise_page(layout, 0, &y), 0);
    ck_assert_uint_eq(layout_exercise_page(layout, 1, &y), 1);
    ck_assert_int_eq(y, page->margin);
    layout_free(layout);
}
END_TEST

static const char *not_printable(void)
{
    for (size_t i = 0; i < diags_count(set.diags); i++)
        if (diags_get(set.diags, i)->code == DIAG_NOT_PRINTABLE)
            return diags_get(set.diags, i)->message;
    return "nothing";
}

START_TEST(a_bar_wider_than_a_line_has_a_smaller_staff)
{
    open_lesson("page: {staff: 12}\nexercises:\n"
                "  - {subdivision: thirty-seconds, sticking: RL, time: 8/4, kick: 1}\n"
                "  - {subdivision: eighths, sticking: RL}\n");
    const struct page_system *wide = &page->systems[0];
    ck_assert_str_eq(not_printable(),
                     "bar 1 is wider than a line: the exercise is set on a staff of 7.3 mm");
    ck_assert_int_le(abs(wide->right - (page->width - page->margin)), 2);
    ck_assert_int_eq((wide->size * 12 + 50) / 100, 73);
    ck_assert_int_le(abs(wide->staff_bottom - wide->staff_top - 4 * wide->size), 4);
    ck_assert_int_eq(page->systems[1].size, 1000);
    ck_assert_uint_eq(mark_of(ROLE_STICKING, 0)->scale, wide->size);
}
END_TEST

START_TEST(a_bar_that_no_staff_helps_is_kept_inside)
{
    open_lesson("exercises:\n  - {subdivision: thirty-seconds, sticking: RL, time: 40/4}\n");
    ck_assert_str_eq(not_printable(), "bar 1 is wider than a line, even on a staff of 3.0 mm, and "
                                      "is set closer than it should be");
    ck_assert_int_le(abs(page->systems[0].right - (page->width - page->margin)), 2);
}
END_TEST

static void dump(struct layout *layout, struct buffer *out)
{
    for (uint32_t n = 1; n <= layout_page_count(layout); n++)
        page_dump(layout_page(layout, n), fake_label_text, set.fake, out);
}

/* Memory for kept blocks is limited; what is drawn again must be the same. */
START_TEST(a_block_drawn_again_is_the_same)
{
    open_lesson(
        "title: Again\nauthor: Wharf Lane Drum School\ntempo: 60-96\n"
        "show: {ladder: yes}\nnotes: One boat, two oars.\nexercises:\n"
        "  - {title: One, sticking: RLLR>, subdivision: sixteenths, bars: 9, kick: 1}\n"
        "  - {title: Twins, lead: both, sticking: RLLR, subdivision: eighths, tempo: 50-60}\n"
        "  - {title: Two, sticking: lRLrL, subdivision: eighth triplets, bars: 30}\n");
    struct buffer kept = {0}, drawn = {0};
    dump(set.layout, &kept);
    for (size_t i = 0; i < set.layout->blocks.count; i++)
        set.layout->blocks.items[i].kept = NULL;
    for (size_t i = 0; i < set.layout->duos.count; i++)
        for (size_t p = 0; p < set.layout->duos.items[i].count; p++)
            set.layout->duos.items[i].parts[p].block.kept = NULL;
    dump(set.layout, &drawn);
    ck_assert_str_eq(buffer_text(&kept), buffer_text(&drawn));
    buffer_release(&kept);
    buffer_release(&drawn);
}
END_TEST

typedef const TTest *test;
static void add(TCase *cases, const test *tests)
{
    for (; *tests; tests++)
        tcase_add_test(cases, *tests);
}

int main(void)
{
    Suite *suite = suite_create("layout page");
    TCase *cases = tcase_create("pages");
    tcase_add_checked_fixture(cases, NULL, teardown);
    const test tests[] = {one_voice_of_the_hands_stands_on_one_line,
                          a_kick_brings_the_five_lines,
                          a_crash_has_one_leger,
                          two_voices_of_one_place_keep_both_heads,
                          hands_stems_go_up_and_feet_stems_down,
                          stems_up_joins_what_coincides,
                          a_polyrhythm_is_spaced_as_it_sounds,
                          ghosts_in_a_row_are_spaced_alike,
                          space_grows_with_the_root_of_the_duration,
                          silent_slots_of_the_grid_are_counted,
                          a_triplet_of_the_feet_is_counted_in_all_bars_or_none,
                          sixteenth_triplets_break_their_second_beam,
                          stubs_stand_on_their_own_side,
                          level_beams_are_level,
                          sloped_beams_rise_half_a_space_at_most,
                          eight_thirty_seconds_are_four_and_four,
                          a_rest_at_its_edge_gives_a_tuplet_a_bracket,
                          nested_tuplets_have_brackets_under_one_beam_too,
                          inner_tuplets_stand_nearer_the_notes,
                          feet_in_the_hands_triplet_need_no_number,
                          near_accents_stand_on_one_line,
                          a_flam_is_slashed_and_a_drag_is_beamed,
                          a_diddle_sits_mid_stem,
                          an_additive_meter_shows_its_sum,
                          a_repeat_says_how_often,
                          a_repeat_is_counted_on_the_line_of_a_short_text,
                          the_text_of_both_leads_is_printed_once,
                          a_text_from_the_right_begins_below_its_title,
                          a_text_is_as_far_below_a_title_of_any_letters,
                          the_last_row_stands_clear_of_the_foot,
                          the_key_names_the_voices_that_are_used,
                          voices_that_look_alike_are_one_item_of_the_key,
                          numbers_of_any_length_stand_in_their_rings,
                          rows_of_the_key_are_filled_alike,
                          the_plan_is_to_scale,
                          the_plan_of_a_left_handed_kit_is_mirrored,
                          in_the_plan_what_is_higher_covers_what_is_lower,
                          no_plan_is_printed_unasked,
                          a_ladder_climbs_in_even_rungs,
                          no_rung_crowds_the_goal,
                          a_tempo_or_swing_of_a_bar_stands_over_it,
                          a_sequence_shows_its_form,
                          only_the_exercises_asked_for_are_printed,
                          a_bar_wider_than_a_line_has_a_smaller_staff,
                          a_bar_that_no_staff_helps_is_kept_inside,
                          a_block_drawn_again_is_the_same,
                          NULL};
    add(cases, tests);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
