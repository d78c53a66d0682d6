/* Stroke lines. */
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static struct stroke_line *strokes(const char *text)
{
    return read_stroke_line(text);
}

static struct stroke_line *good(const char *text)
{
    struct stroke_line *line = strokes(text);
    assert_no_finding();
    ck_assert_ptr_nonnull(line);
    return line;
}

START_TEST(letters_are_hands_and_points_are_empty_slots)
{
    struct stroke_line *line = good("R L. B");
    static const enum hand hands[] = {HAND_RIGHT, HAND_LEFT, HAND_NONE, HAND_BOTH};
    static const unsigned columns[] = {1, 3, 4, 6};
    ck_assert_uint_eq(line->count, 4);
    for (size_t i = 0; i < 4; i++) {
        ck_assert_uint_eq(line->strokes[i].hand, hands[i]);
        ck_assert_uint_eq(line->strokes[i].column, columns[i]);
        ck_assert_uint_eq(line->strokes[i].marks, 0);
    }
}
END_TEST

static const struct {
    const char *text;
    unsigned marks;
} marked[] = {
    {"R>", MARK_ACCENT},
    {"R^", MARK_STRONG_ACCENT},
    {"R/", MARK_SLASH_1},
    {"R//", MARK_SLASH_2},
    {"R///", MARK_SLASH_3},
    {"R//>/", MARK_SLASH_3 | MARK_ACCENT},
    {"Rz", MARK_BUZZ},
    {"R+", MARK_RING},
    {"Rz+", MARK_BUZZ | MARK_RING},
    {"R/>", MARK_SLASH_1 | MARK_ACCENT},
    {"R>/", MARK_SLASH_1 | MARK_ACCENT},
    {"R//>+", MARK_SLASH_2 | MARK_ACCENT | MARK_RING},
    {"(R)", MARK_GHOST},
    {"(R/)", MARK_GHOST | MARK_SLASH_1},
};

START_TEST(signs_are_marks)
{
    struct stroke_line *line = good(marked[_i].text);
    ck_assert_uint_eq(line->count, 1);
    ck_assert_uint_eq(line->strokes[0].marks, marked[_i].marks);
}
END_TEST

START_TEST(brackets_ghost_what_they_enclose)
{
    struct stroke_line *line = good("R>(L)(RR).L");
    static const unsigned marks[] = {MARK_ACCENT, MARK_GHOST, MARK_GHOST, MARK_GHOST, 0, 0};
    ck_assert_uint_eq(line->count, 6);
    for (size_t i = 0; i < 6; i++)
        ck_assert_uint_eq(line->strokes[i].marks, marks[i]);
}
END_TEST

/* lR flam, llR drag, lrlR four-stroke ruff. Bit 0 is the first one played; 1 is the left hand. */
START_TEST(small_letters_are_grace_strokes)
{
    struct stroke_line *line = good("lR rrL lrlR rlrlrlrB");
    static const unsigned counts[] = {1, 2, 3, 7}, graces[] = {1, 0, 5, 0x2A};
    static const unsigned columns[] = {2, 6, 11, 20};
    ck_assert_uint_eq(line->count, 4);
    for (size_t i = 0; i < 4; i++) {
        ck_assert_uint_eq(line->strokes[i].grace_count, counts[i]);
        ck_assert_uint_eq(line->strokes[i].graces, graces[i]);
        ck_assert_uint_eq(line->strokes[i].column, columns[i]);
    }
}
END_TEST

START_TEST(bars_between_claim_beat_boundaries)
{
    struct stroke_line *line = good("RL | R. |L");
    ck_assert_uint_eq(line->boundary_count, 2);
    ck_assert_uint_eq(line->boundaries[0].before, 2);
    ck_assert_uint_eq(line->boundaries[0].at.column, 4);
    ck_assert_uint_eq(line->boundaries[1].before, 4);
    ck_assert_uint_eq(line->boundaries[1].at.column, 9);
}
END_TEST

static const struct {
    const char *text;
    unsigned column, length;
} wrong[] = {
    {"R L X R", 5, 1}, {"RLxyzRL", 3, 2}, {"R >L", 3, 1},  {"> R", 1, 1},       {"R.>", 3, 1},
    {"R>>", 3, 1},     {"R>^", 3, 1},     {"R////", 5, 1}, {"(R>)", 3, 1},      {"Rz/", 3, 1},
    {"R/z", 3, 1},     {"R l", 3, 1},     {"l R", 1, 1},   {"rlrlrlrlR", 1, 8}, {"R(L", 2, 1},
    {"R)L", 2, 1},     {"(R(L))", 3, 1},  {"R||L", 3, 1},  {"", 1, 1},          {"   ", 1, 1},
    {"R zL", 3, 1},    {"R1L", 2, 1},     {"l.", 1, 1},    {"R++", 3, 1},
};

START_TEST(what_cannot_be_read_is_told_where_it_stands)
{
    ck_assert_ptr_null(strokes(wrong[_i].text));
    ck_assert_uint_ge(diags_count(diags), 1);
    ck_assert_int_eq(finding(0)->code, DIAG_BAD_STICKING);
    ck_assert_uint_eq(finding(0)->at.column, wrong[_i].column);
    ck_assert_uint_eq(finding(0)->at.length, wrong[_i].length);
    ck_assert_ptr_nonnull(finding(0)->expected);
}
END_TEST

START_TEST(all_mistakes_of_a_line_are_told)
{
    ck_assert_ptr_null(strokes("R X L > Y ) R"));
    ck_assert_uint_eq(diags_count(diags), 4);
}
END_TEST

/* A stroke line can run over several lines of the file: each stroke has its own place. */
static const struct {
    const char *lesson;
    unsigned line, column; /* of the last stroke, L */
} placed[] = {
    {"exercises:\n  - sticking: RR L\n", 2, 18},
    {"exercises:\n  - sticking: 'RR L'\n", 2, 19},
    {"exercises:\n  - sticking: \"RR L\"\n", 2, 19},
    {"exercises:\n  - sticking: RR\n      R\n       L\n", 4, 8},
    {"exercises:\n  - sticking: |\n      RR |\n      R L\n", 4, 9},
    {"exercises:\n  - sticking: >-   # folded\n\n      RR\n\n      L\n", 6, 7},
    {"exercises:\n  - sticking: \"RR \\\n      R\\x4c\"\n", 3, 8},
    {"exercises:\r\n  - sticking: RR\r\n      L\r\n", 3, 7},
    {"t: \xC3\xA9\nexercises: [{title: \xC3\xA9\xC3\xA9, sticking: RR L}]\n", 2, 38},
};

START_TEST(strokes_keep_their_places_however_a_value_is_written)
{
    struct lesson *lesson = lesson_from(placed[_i].lesson);
    ck_assert_ptr_nonnull(lesson);
    const struct stroke_line *line = lesson->exercises[0].settings.sticking;
    ck_assert_ptr_nonnull(line);
    const struct stroke *last = &line->strokes[line->count - 1];
    ck_assert_uint_eq(last->hand, HAND_LEFT);
    ck_assert_uint_eq(last->line, placed[_i].line);
    ck_assert_uint_eq(last->column, placed[_i].column);
}
END_TEST

START_TEST(a_mistake_on_a_later_line_is_told_there)
{
    lesson_from("exercises:\n  - sticking: |\n      RL\n      RXL\n      (L\n");
    ck_assert_uint_eq(diags_count(diags), 2);
    ck_assert_uint_eq(finding(0)->at.line, 4);
    ck_assert_uint_eq(finding(0)->at.column, 8);
    ck_assert_uint_eq(finding(1)->at.line, 5);
    ck_assert_uint_eq(finding(1)->at.column, 7);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("read_strokes");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_test(cases, letters_are_hands_and_points_are_empty_slots);
    tcase_add_loop_test(cases, signs_are_marks, 0, (int)(sizeof marked / sizeof *marked));
    tcase_add_test(cases, brackets_ghost_what_they_enclose);
    tcase_add_test(cases, small_letters_are_grace_strokes);
    tcase_add_test(cases, bars_between_claim_beat_boundaries);
    tcase_add_loop_test(cases, what_cannot_be_read_is_told_where_it_stands, 0,
                        (int)(sizeof wrong / sizeof *wrong));
    tcase_add_test(cases, all_mistakes_of_a_line_are_told);
    tcase_add_loop_test(cases, strokes_keep_their_places_however_a_value_is_written, 0,
                        (int)(sizeof placed / sizeof *placed));
    tcase_add_test(cases, a_mistake_on_a_later_line_is_told_there);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("read_strokes");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
