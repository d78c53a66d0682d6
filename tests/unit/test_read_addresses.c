/* Count addresses and the words of voices. */
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static struct address_list *addresses(const char *text)
{
    return read_addresses(text);
}

static const struct {
    const char *text;
    struct address address;
} good[] = {
    {"1", {.kind = ADDRESS_SLOT, .beat = 1, .spoken = ""}},
    {"2&", {.kind = ADDRESS_SLOT, .beat = 2, .spoken = "&"}},
    {"1let", {.kind = ADDRESS_SLOT, .beat = 1, .spoken = "let"}},
    {"2&trip", {.kind = ADDRESS_SLOT, .beat = 2, .spoken = "&trip"}},
    {"12E", {.kind = ADDRESS_SLOT, .beat = 12, .spoken = "e"}},
    {"3/4", {.kind = ADDRESS_SLOT, .beat = 3, .spoken = "/4"}},
    {"2:3&", {.kind = ADDRESS_SLOT, .bar = 2, .beat = 3, .spoken = "&"}},
    {"1..2a", {.kind = ADDRESS_SLOT, .beat = 1, .spoken = "", .to_beat = 2, .to_spoken = "a"}},
    {"4:1e..3", {.kind = ADDRESS_SLOT, .bar = 4, .beat = 1, .spoken = "e", .to_beat = 3}},
    {"each beat", {.kind = ADDRESS_EACH_BEAT}},
    {"each &", {.kind = ADDRESS_EACH_SPOKEN, .spoken = "&"}},
    {"each let", {.kind = ADDRESS_EACH_SPOKEN, .spoken = "let"}},
    {"each 6 strokes", {.kind = ADDRESS_EACH_STROKES, .every = 6}},
    {"each 1 stroke", {.kind = ADDRESS_EACH_STROKES, .every = 1}},
    {"quarters", {.kind = ADDRESS_SUBDIVISION, .subdivision = SUBDIVISION_QUARTERS}},
    {"eighth triplets", {.kind = ADDRESS_SUBDIVISION, .subdivision = SUBDIVISION_EIGHTH_TRIPLETS}},
    {"8ths", {.kind = ADDRESS_SUBDIVISION, .subdivision = SUBDIVISION_EIGHTHS}},
};

START_TEST(an_address_is_read_so)
{
    struct address_list *list = addresses(good[_i].text);
    assert_no_finding();
    ck_assert_uint_eq(list->count, 1);
    const struct address *got = &list->items[0], *wanted = &good[_i].address;
    ck_assert_int_eq(got->kind, wanted->kind);
    ck_assert_uint_eq(got->bar, wanted->bar);
    ck_assert_uint_eq(got->beat, wanted->beat);
    ck_assert_str_eq(got->spoken, wanted->spoken ? wanted->spoken : "");
    ck_assert_uint_eq(got->to_beat, wanted->to_beat);
    ck_assert_str_eq(got->to_spoken, wanted->to_spoken ? wanted->to_spoken : "");
    ck_assert_uint_eq(got->every, wanted->every);
    ck_assert_int_eq(got->subdivision, wanted->subdivision);
    ck_assert_uint_eq(got->at.column, 1);
    ck_assert_uint_eq(got->at.length, strlen(good[_i].text));
}
END_TEST

START_TEST(several_are_parted_by_spaces_or_commas)
{
    struct address_list *list = addresses("1, 2& each beat,eighth triplets  quarters 4a");
    static const unsigned columns[] = {1, 4, 7, 17, 34, 43};
    assert_no_finding();
    ck_assert_uint_eq(list->count, 6);
    for (size_t i = 0; i < 6; i++)
        ck_assert_uint_eq(list->items[i].at.column, columns[i]);
}
END_TEST

START_TEST(nothing_written_is_no_address)
{
    ck_assert_uint_eq(addresses("")->count, 0);
    assert_no_finding();
}
END_TEST

static const struct {
    const char *text;
    unsigned column, length;
} wrong[] = {
    {"1 x 2", 3, 1},    {"0", 1, 1},
    {"65", 1, 2},       {"1..", 1, 3},
    {"1..x", 1, 4},     {"2:", 1, 2},
    {"0:1", 1, 3},      {"each", 1, 4},
    {"each 6", 1, 6},   {"each 0 strokes", 1, 14},
    {"&2", 1, 2},       {"1.2", 1, 3},
    {"1:2:3", 1, 5},    {"3/", 1, 2},
    {"3/x", 1, 3},      {"70000:1", 1, 7},
    {"eights 1", 1, 6}, {"1...3", 1, 5},
};

START_TEST(what_is_no_count_is_told_where_it_stands)
{
    ck_assert_ptr_null(addresses(wrong[_i].text));
    ck_assert_int_eq(finding(0)->code, DIAG_UNKNOWN_COUNT);
    ck_assert_uint_eq(finding(0)->at.column, wrong[_i].column);
    ck_assert_uint_eq(finding(0)->at.length, wrong[_i].length);
}
END_TEST

START_TEST(a_misspelt_subdivision_gets_the_nearest_name)
{
    addresses("eights");
    ck_assert_str_eq(finding(0)->nearest, "eighths");
}
END_TEST

/* ---- voice words, as they stand in a lesson ------------------------------------------------- */

static const struct voicing *at_value(const char *words)
{
    struct lesson *lesson =
        lesson_from(arena_format(arena, "exercises:\n  - at: {1: %s}\n", words));
    const struct at_map *map = &lesson->exercises[0].at_counts;
    return map->count ? &map->entries[0].what : NULL;
}

START_TEST(words_of_at_are_voices_and_marks)
{
    const struct voicing *what = at_value("accent buzz crash+bass-drum");
    assert_no_finding();
    ck_assert_uint_eq(what->voice_count, 2);
    ck_assert_uint_eq(what->voices[0], VOICE_CRASH);
    ck_assert_uint_eq(what->voices[1], VOICE_BASS_DRUM);
    ck_assert_uint_eq(what->marks, MARK_ACCENT | MARK_BUZZ);
    ck_assert(at_value("rest")->rest);
    ck_assert_uint_eq(at_value("flam")->graces, 1);
    ck_assert_uint_eq(at_value("drag")->graces, 2);
    ck_assert_uint_eq(at_value("snare ruff ghost")->graces, 3);
    ck_assert_uint_eq(at_value("diddle")->marks, MARK_SLASH_1);
    ck_assert_uint_eq(at_value("strong-accent")->marks, MARK_STRONG_ACCENT);
    ck_assert_uint_eq(at_value("open")->marks, MARK_OPEN);
    assert_no_finding();
}
END_TEST

static const struct {
    const char *words;
    enum diag_code code;
    unsigned column;
} wrong_words[] = {
    {"snaer", DIAG_UNKNOWN_VOICE, 13},           {"snare acent", DIAG_BAD_VALUE, 19},
    {"snare crash", DIAG_BAD_VALUE, 19},         {"snare+", DIAG_BAD_VALUE, 18},
    {"snare+snare", DIAG_BAD_VALUE, 19},         {"snare*2", DIAG_BAD_VALUE, 18},
    {"accent ghost", DIAG_CONFLICT, 13},         {"snare rest", DIAG_CONFLICT, 13},
    {"accent strong-accent", DIAG_CONFLICT, 13}, {"snare+crash+ride+china+splash", DIAG_LIMIT, 36},
};

START_TEST(wrong_words_are_told_where_they_stand)
{
    at_value(wrong_words[_i].words);
    assert_only(wrong_words[_i].code, 2, wrong_words[_i].column);
}
END_TEST

static const struct voicing_line *voices(const char *words)
{
    struct lesson *lesson = lesson_from(arena_format(arena, "exercises:\n  - voices: %s\n", words));
    return lesson->exercises[0].voices;
}

START_TEST(a_line_of_voices_repeats_joins_and_marks)
{
    const struct voicing_line *line = voices("snare*2 | crash+bass-drum snare:ghost:diddle*2");
    assert_no_finding();
    ck_assert_uint_eq(line->count, 5);
    ck_assert_uint_eq(line->items[1].voices[0], VOICE_SNARE);
    ck_assert_uint_eq(line->items[2].voice_count, 2);
    ck_assert_uint_eq(line->items[2].at.column, 23);
    ck_assert_uint_eq(line->items[2].at.length, 15);
    ck_assert_uint_eq(line->items[4].marks, MARK_GHOST | MARK_SLASH_1);
    ck_assert_uint_eq(line->boundary_count, 1);
    ck_assert_uint_eq(line->boundaries[0].before, 2);
}
END_TEST

static const struct {
    const char *words;
    enum diag_code code;
    unsigned column;
} wrong_voices[] = {
    {"snare snar", DIAG_UNKNOWN_VOICE, 19}, {"snare*", DIAG_BAD_VALUE, 18},
    {"snare*0", DIAG_BAD_VALUE, 18},        {"snare:loud", DIAG_BAD_VALUE, 19},
    {"snare:rest", DIAG_BAD_VALUE, 19},     {"snare:ghost:accent", DIAG_CONFLICT, 13},
    {"snare,ride", DIAG_BAD_VALUE, 18},     {"'|'", DIAG_BAD_VALUE, 13},
    {"snare*9999999", DIAG_LIMIT, 13},
};

START_TEST(wrong_lines_of_voices_are_told_where_they_stand)
{
    ck_assert_ptr_null(voices(wrong_voices[_i].words));
    assert_only(wrong_voices[_i].code, 2, wrong_voices[_i].column);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("read_addresses");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_loop_test(cases, an_address_is_read_so, 0, (int)(sizeof good / sizeof *good));
    tcase_add_test(cases, several_are_parted_by_spaces_or_commas);
    tcase_add_test(cases, nothing_written_is_no_address);
    tcase_add_loop_test(cases, what_is_no_count_is_told_where_it_stands, 0,
                        (int)(sizeof wrong / sizeof *wrong));
    tcase_add_test(cases, a_misspelt_subdivision_gets_the_nearest_name);
    tcase_add_test(cases, words_of_at_are_voices_and_marks);
    tcase_add_loop_test(cases, wrong_words_are_told_where_they_stand, 0,
                        (int)(sizeof wrong_words / sizeof *wrong_words));
    tcase_add_test(cases, a_line_of_voices_repeats_joins_and_marks);
    tcase_add_loop_test(cases, wrong_lines_of_voices_are_told_where_they_stand, 0,
                        (int)(sizeof wrong_voices / sizeof *wrong_voices));
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("read_addresses");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
