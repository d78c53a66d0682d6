/* Rhythm lines. */
#include "base/fraction.h"
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct rhythm_line *rhythm(const char *text)
{
    return read_rhythm_line(text);
}

/* The items as text, in one plain form. */
static const char *items_of(const struct rhythm_line *line)
{
    static char words[1024];
    size_t length = 0;
    words[0] = '\0';
    for (size_t i = 0; i < line->count; i++) {
        const struct rhythm_item *item = &line->items[i];
        char *end = words + length;
        size_t room = sizeof words - length;
        if (item->kind == RHYTHM_TUPLET_OPEN)
            snprintf(end, room, "%s%u:%u(", i ? " " : "", item->actual, item->normal);
        else if (item->kind == RHYTHM_TUPLET_CLOSE)
            snprintf(end, room, " )");
        else
            snprintf(end, room, "%s%s%d%.*s%s", i ? " " : "", item->kind == RHYTHM_REST ? "_" : "",
                     1 << item->value_log2, item->dots, "...", item->tied ? "+" : "");
        length += strlen(end);
    }
    return words;
}

static const struct {
    const char *text, *items;
    size_t sounding;
} good[] = {
    {"4 8 8 16 32 64 2 1", "4 8 8 16 32 64 2 1", 8},
    {"4. 8.. 2...", "4. 8.. 2...", 3},
    {"8 _8 _4.", "8 _8 _4.", 1},
    {"8*4 _16*2", "8 8 8 8 _16 _16", 4},
    {"4+16 8.", "4+ 16 8.", 2},
    {"4 + 16", "4+ 16", 1},
    {"2+8+32", "2+ 8+ 32", 1},
    {"8*2+4", "8 8+ 4", 2},
    {"4+8*2", "4+ 8 8", 2},
    {"3(8 8 8)", "3:2( 8 8 8 )", 3},
    {"3(8*3)", "3:2( 8 8 8 )", 3},
    {"3(4 8)", "3:2( 4 8 )", 2},
    {"3(8 _8 8)", "3:2( 8 _8 8 )", 2},
    {"5(16*5)", "5:4( 16 16 16 16 16 )", 5},
    {"7:8(16*7)", "7:8( 16 16 16 16 16 16 16 )", 7},
    {"3(8*3)*2", "3:2( 8 8 8 ) 3:2( 8 8 8 )", 6},
    {"3(4 3(8*3) 4)", "3:2( 4 3:2( 8 8 8 ) 4 )", 5},
    {"4+3(8 8 8)+4", "4+ 3:2( 8 8 8+ ) 4", 3},
    {"2(8 8)", "2:3( 8 8 )", 2},
    {"4(8*4)", "4:3( 8 8 8 8 )", 4},
    {"9(8*9)", "9:8( 8 8 8 8 8 8 8 8 8 )", 9},
};

START_TEST(a_line_is_read_so)
{
    struct rhythm_line *line = rhythm(good[_i].text);
    assert_no_finding();
    ck_assert_str_eq(items_of(line), good[_i].items);
    ck_assert_uint_eq(line->sounding, good[_i].sounding);
}
END_TEST

/* A tuplet without a second number: n in the time of the next smaller power of two; two and four in
   the time of three, as in compound time (common practice). */
START_TEST(a_number_alone_means_the_usual_ratio)
{
    static const struct {
        int actual, normal;
    } usual[] = {{2, 3}, {3, 2}, {4, 3}, {5, 4}, {6, 4}, {7, 4}, {8, 6}, {9, 8}, {11, 8}, {15, 8}};
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        struct rhythm_line *line =
            rhythm(arena_format(arena, "%d(16*%d)", usual[i].actual, usual[i].actual));
        assert_no_finding();
        ck_assert_int_eq(line->items[0].normal, usual[i].normal);
    }
}
END_TEST

START_TEST(boundaries_count_the_items_before_them)
{
    struct rhythm_line *line = rhythm("8*2 | 3(8 8 8) |4");
    assert_no_finding();
    ck_assert_uint_eq(line->boundary_count, 2);
    ck_assert_uint_eq(line->boundaries[0].before, 2);
    ck_assert_uint_eq(line->boundaries[1].before, 7);
    ck_assert_uint_eq(line->boundaries[1].at.column, 16);
}
END_TEST

START_TEST(items_keep_their_places)
{
    struct rhythm_line *line = rhythm("4. 3(8 16*2 8) _4");
    assert_no_finding();
    static const unsigned columns[] = {1, 4, 6, 8, 8, 13, 14, 16};
    ck_assert_uint_eq(line->count, 8);
    for (size_t i = 0; i < 8; i++)
        ck_assert_uint_eq(line->items[i].at.column, columns[i]);
    ck_assert_uint_eq(line->items[0].at.length, 2);
}
END_TEST

static const struct {
    const char *text;
    enum diag_code code;
    unsigned column, length;
} wrong[] = {
    {"4 6 8", DIAG_BAD_RHYTHM, 3, 1},        {"4 q 8", DIAG_BAD_RHYTHM, 3, 1},
    {"4....", DIAG_BAD_RHYTHM, 1, 5},        {"8*0", DIAG_BAD_RHYTHM, 2, 2},
    {"8*x 4", DIAG_BAD_RHYTHM, 2, 2},        {"_ 8", DIAG_BAD_RHYTHM, 1, 1},
    {"_x", DIAG_BAD_RHYTHM, 1, 2},           {"+4", DIAG_BAD_RHYTHM, 1, 1},
    {"4+_8", DIAG_BAD_RHYTHM, 2, 1},         {"_4+8", DIAG_BAD_RHYTHM, 3, 1},
    {"4++8", DIAG_BAD_RHYTHM, 3, 1},         {"3(8 8 8", DIAG_BAD_RHYTHM, 1, 1},
    {"8 8)", DIAG_BAD_RHYTHM, 4, 1},         {"(8 8 8)", DIAG_BAD_RHYTHM, 1, 2},
    {"5:(8*5)", DIAG_BAD_RHYTHM, 1, 6},      {"1(8)", DIAG_BAD_RHYTHM, 1, 1},
    {"65(8*65)", DIAG_BAD_RHYTHM, 1, 2},     {"3:0(8*3)", DIAG_BAD_RHYTHM, 1, 3},
    {"4 || 4", DIAG_BAD_RHYTHM, 4, 1},       {"", DIAG_BAD_RHYTHM, 1, 1},
    {"3(8 8)", DIAG_TUPLET_LENGTH, 6, 1},    {"4 3()", DIAG_TUPLET_LENGTH, 3, 1},
    {"5:4(8*4)", DIAG_TUPLET_LENGTH, 8, 1},  {"3(4 3(8 8) 4)", DIAG_TUPLET_LENGTH, 10, 1},
    {"3(8. 8)", DIAG_TUPLET_LENGTH, 1, 1},   {"128", DIAG_BAD_RHYTHM, 1, 3},
    {"99999999999", DIAG_BAD_RHYTHM, 1, 11}, {"3(3(3(3(3(8*3)))))", DIAG_LIMIT, 9, 1},
    {"8*99999999", DIAG_LIMIT, 1, 1},
};

START_TEST(what_cannot_be_read_is_told_where_it_stands)
{
    ck_assert_ptr_null(rhythm(wrong[_i].text));
    ck_assert_uint_ge(diags_count(diags), 1);
    ck_assert_str_eq(diag_word(finding(0)->code), diag_word(wrong[_i].code));
    ck_assert_uint_eq(finding(0)->at.column, wrong[_i].column);
    ck_assert_uint_eq(finding(0)->at.length, wrong[_i].length);
}
END_TEST

/* 3(4 8) is as long as three eighths; an inner tuplet counts with its length in the outer one. */
START_TEST(a_tuplet_is_whole_when_its_notes_make_equal_values)
{
    static const char *const whole[] = {"3(4 8)",   "3(8. 16 8)", "5(8 8 16)", "3(8 8 3(16*3))",
                                        "6(8 8 8)", "3(4 4 4)",   "3(64*3)",   "3(1 1 1)"};
    for (size_t i = 0; i < sizeof whole / sizeof *whole; i++)
        ck_assert_msg(rhythm(whole[i]) != NULL, "%s", whole[i]);
    assert_no_finding();
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("read_rhythm");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_loop_test(cases, a_line_is_read_so, 0, (int)(sizeof good / sizeof *good));
    tcase_add_test(cases, a_number_alone_means_the_usual_ratio);
    tcase_add_test(cases, boundaries_count_the_items_before_them);
    tcase_add_test(cases, items_keep_their_places);
    tcase_add_loop_test(cases, what_cannot_be_read_is_told_where_it_stands, 0,
                        (int)(sizeof wrong / sizeof *wrong));
    tcase_add_test(cases, a_tuplet_is_whole_when_its_notes_make_equal_values);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("read_rhythm");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
