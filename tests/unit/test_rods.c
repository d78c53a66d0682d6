/*
 * Rods (src/layout/rods.c): how near columns may stand, measured with the real music font. Each
 * check puts two kinds of ink beside each other and compares the rod with the ink boxes of the font
 * and the white that the house asks for, so it fails by the name of the ink that is forgotten.
 */
#include "layout/labels.h"
#include "layout/layout_state.h"
#include "set_lesson.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

static struct set_lesson set;
static struct buffer text;

/* Sets one exercise of one bar, whose voices `at0` ... `at20` have square heads on every line and
   space from the lowest to the highest that a kit may ask for. */
static void set_bar(const char *exercise)
{
    text = (struct buffer){0};
    buffer_add_text(&text, "show: {sticking: no, counts: off}\nkit:\n  voices:\n");
    for (int i = 0; i <= 20; i++)
        buffer_format(&text, "    at%d: {like: snare, head: square, line: %d%s}\n", i, i / 2,
                      i % 2 ? ".5" : "");
    buffer_format(&text, "exercises:\n  - %s\n", exercise);
    set_lesson_open(&set, "rods", buffer_text(&text), text.length, NULL, true);
    ck_assert_msg(set.layout != NULL, "%s: %s", buffer_text(&text),
                  diags_get(set.diags, 0)->message);
    ck_assert_uint_eq(set.layout->work.bars.count, 1);
}

static void drop_bar(void)
{
    set_lesson_close(&set);
    buffer_release(&text);
}

/* From column `n` of the bar to the next, or to the bar line. */
static sp rod(size_t n)
{
    return set.layout->work.springs.items[n].own;
}

static size_t columns(void)
{
    return set.layout->work.columns.count;
}

static sp width(enum glyph glyph)
{
    return box_width(set.metrics.glyphs[glyph].ink);
}

static void expect_rod(const char *what, sp got, sp wanted)
{
    enum { ROUNDING = 3 }; /* an outline's slices are rounded outwards */
    ck_assert_msg(got >= wanted - ROUNDING && got <= wanted + ROUNDING, "%s: %d, expected %d", what,
                  got, wanted);
}

/* ---- heads -------------------------------------------------------------------------------- */

START_TEST(heads_of_one_height_keep_the_gap_of_ink)
{
    set_bar("{subdivision: quarters, sticking: RRRR, play: {R: at7}}");
    expect_rod("head to head", rod(0), width(GLYPH_HEAD_SQUARE_BLACK) + HOUSE_INK_GAP);
    drop_bar();
}
END_TEST

START_TEST(parentheses_of_a_ghost_reach_past_its_head)
{
    set_bar("{subdivision: quarters, sticking: RRRR, play: {R: at7 ghost}}");
    expect_rod("ghost to ghost", rod(0),
               width(GLYPH_HEAD_SQUARE_BLACK) + 2 * HOUSE_GHOST_GAP +
                   width(GLYPH_PARENTHESIS_LEFT) + width(GLYPH_PARENTHESIS_RIGHT) + HOUSE_INK_GAP);
    drop_bar();
}
END_TEST

/* A space and a half apart, without legers, heads do not meet. The higher one keeps clear of the
   stem of the lower one before it, the lower one's stem of the higher one's head. */
START_TEST(heads_of_other_heights_come_nearer)
{
    sp stem;
    set_bar("{subdivision: quarters, voices: at6 at9 at6 at9}");
    stem = set.layout->defaults->stem;
    expect_rod("stem to head", rod(0), width(GLYPH_HEAD_SQUARE_BLACK) + HOUSE_INK_GAP);
    expect_rod("head to stem below it", rod(1), HOUSE_INK_GAP + stem);
    drop_bar();
}
END_TEST

/* ---- rests -------------------------------------------------------------------------------- */

START_TEST(the_dot_of_a_rest_clears_the_head_after_it)
{
    set_bar("{rhythm: _4. 8 4 4, voices: at7*3}");
    expect_rod("dotted rest to head", rod(0),
               width(GLYPH_REST_QUARTER) / 2 + HOUSE_DOT_GAP + width(GLYPH_AUGMENTATION_DOT) +
                   HOUSE_INK_GAP + width(GLYPH_HEAD_SQUARE_BLACK) / 2);
    drop_bar();
}
END_TEST

/* ---- stems -------------------------------------------------------------------------------- */

/* The beam may yet move half a space and more, and the slash with it. */
START_TEST(a_slash_keeps_the_height_that_its_beam_may_move_to)
{
    set_bar("{subdivision: eighths, voices: at5:diddle at9 at5 at5 at5 at5 at5 at5}");
    expect_rod("slash to a higher head", rod(0),
               width(GLYPH_HEAD_SQUARE_BLACK) - set.layout->defaults->stem / 2 +
                   width(GLYPH_STEM_SLASH_1) / 2 + HOUSE_INK_GAP);
    drop_bar();
}
END_TEST

/* ---- graces ------------------------------------------------------------------------------- */

static const struct mark *find_mark(enum mark_role role)
{
    const struct page *page = layout_page(set.layout, 1);
    for (size_t i = 0; i < page->mark_count; i++)
        if (page->marks[i].role == role)
            return &page->marks[i];
    ck_abort_msg("no %s on the page", mark_role_word(role));
    return NULL;
}

/* The arc hangs less than half a space below its ends. On its first tenth it stays in the upper
   quarter space of that, from there on it comes near a head a space and a half lower. A whole note
   has no stem in the way. */
START_TEST(what_is_under_a_slur_clears_its_arc)
{
    set_bar("{time: 8/4, rhythm: 1 4 4 4 4, sticking: RlRRRR, voices: at4 at7 at4 at4 at4}");
    const struct mark *slur = find_mark(ROLE_GRACE_SLUR);
    sp run = slur->as.ends.to.x - slur->as.ends.from.x;
    expect_rod("head to the slur over it", rod(0),
               width(GLYPH_HEAD_SQUARE_WHITE) / 2 + HOUSE_INK_GAP + run - run / 10);
    drop_bar();
}
END_TEST

/* ---- the bar's ends ----------------------------------------------------------------------- */

START_TEST(a_head_keeps_its_distance_from_both_bar_lines)
{
    set_bar("{subdivision: quarters, sticking: RRRR, play: {R: at7}}");
    sp half = width(GLYPH_HEAD_SQUARE_BLACK) / 2;
    expect_rod("bar line to head", set.layout->work.bars.items[0].lead, half + HOUSE_BAR_LEAD);
    expect_rod("head to bar line", rod(3), half + HOUSE_BAR_TRAIL);
    drop_bar();
}
END_TEST

/* Below the bar line, a syllable keeps half the gap that it has to its neighbour: the other half is
   the next bar's. */
START_TEST(a_long_syllable_keeps_half_a_gap_from_the_bars_end)
{
    set_bar("{subdivision: eighths, sticking: RRRR RRRR, play: {R: at7}, show: {counts: notes},\n"
            "     counting: {eighths: '# promenade'}}");
    struct short_label label = label_short(&set.metrics, TEXT_COUNT_TIGHT, "promenade");
    sp right = label.ink.right - label.centre;
    ck_assert_int_gt(right, width(GLYPH_HEAD_SQUARE_BLACK) / 2 + HOUSE_BAR_TRAIL);
    expect_rod("syllable to bar line", rod(7), right + HOUSE_TEXT_GAP / 2);
    drop_bar();
}
END_TEST

/* Narrow heads, wide syllables: a beat's number keeps more white than two syllables do. */
START_TEST(a_beats_number_stands_free_of_syllables)
{
    set_bar("{subdivision: eighth triplets, sticking: RRR, play: {R: at7}, show: {counts: notes},\n"
            "     counting: {eighth triplets: '# promenade promenade'}}");
    struct short_label number = label_short(&set.metrics, TEXT_COUNT_BEAT_TIGHT, "1");
    struct short_label word = label_short(&set.metrics, TEXT_COUNT_TIGHT, "promenade");
    sp after = number.ink.right - number.centre, before = word.centre - word.ink.left;
    expect_rod("number to syllable", rod(0), after + HOUSE_BEAT_GAP + before);
    expect_rod("syllable to syllable", rod(1),
               word.ink.right - word.centre + HOUSE_TEXT_GAP + before);
    ck_assert_int_ge(HOUSE_BEAT_GAP, 450); /* the proof asks for 0.45 to 0.6 spaces */
    drop_bar();
}
END_TEST

START_TEST(a_whole_rest_has_room_in_its_bar)
{
    set_bar("{bars: [{rest: 1}]}");
    sp room = set.layout->work.bars.items[0].lead;
    for (size_t i = 0; i < columns(); i++)
        room += rod(i);
    expect_rod("bar of rest", room, width(GLYPH_REST_WHOLE) + 2 * HOUSE_BAR_TRAIL);
    drop_bar();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rods");
    TCase *cases = tcase_create("rods");
    tcase_add_checked_fixture(cases, set_lesson_keep_faces, set_lesson_drop_faces);
    tcase_add_test(cases, heads_of_one_height_keep_the_gap_of_ink);
    tcase_add_test(cases, parentheses_of_a_ghost_reach_past_its_head);
    tcase_add_test(cases, heads_of_other_heights_come_nearer);
    tcase_add_test(cases, the_dot_of_a_rest_clears_the_head_after_it);
    tcase_add_test(cases, a_slash_keeps_the_height_that_its_beam_may_move_to);
    tcase_add_test(cases, what_is_under_a_slur_clears_its_arc);
    tcase_add_test(cases, a_head_keeps_its_distance_from_both_bar_lines);
    tcase_add_test(cases, a_long_syllable_keeps_half_a_gap_from_the_bars_end);
    tcase_add_test(cases, a_beats_number_stands_free_of_syllables);
    tcase_add_test(cases, a_whole_rest_has_room_in_its_bar);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
