/* The list of findings, the nearest names, and the explanation of each code. */
#include "build/build.h"
#include "check/check.h"
#include "play/play.h"
#include "reading.h"
#include "suite.h"
#include "vary/variations.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

START_TEST(findings_keep_what_is_said_of_them)
{
    struct place at = {"a.yaml", 3, 7, 5};
    diag_add(diags, DIAG_UNKNOWN_VOICE, at, "no voice is called '%s'", "snaer");
    diag_found(diags, "snaer");
    diag_expected(diags, "a voice of %d", 25);
    diag_nearest(diags, "snare");
    diag_nearest(diags, NULL);
    diag_other(diags, place_at(at, 2, 0), "here");
    assert_only(DIAG_UNKNOWN_VOICE, 3, 7);
    const struct diag *diag = finding(0);
    ck_assert_int_eq(diag->severity, DIAG_SEVERITY_ERROR);
    ck_assert_str_eq(diag->message, "no voice is called 'snaer'");
    ck_assert_str_eq(diag->expected, "a voice of 25");
    ck_assert_str_eq(diag->nearest, "snare");
    ck_assert_uint_eq(diag->other.column, 9);
    ck_assert_uint_eq(diag->other.length, 1);
    ck_assert_uint_eq(diags_errors(diags), 1);
}
END_TEST

START_TEST(beyond_the_limit_errors_are_only_counted)
{
    struct place at = {"a.yaml", 1, 1, 1};
    for (int i = 0; i < DIAGS_LIMIT + 50; i++) {
        diag_add(diags, DIAG_BAD_VALUE, at, "number %d", i);
        diag_expected(diags, "number %d", i);
    }
    ck_assert_uint_eq(diags_count(diags), DIAGS_LIMIT + 1);
    ck_assert_uint_eq(diags_errors(diags), DIAGS_LIMIT + 50);
    const struct diag *note = finding(DIAGS_LIMIT);
    ck_assert_int_eq(note->code, DIAG_LIMIT);
    ck_assert_int_eq(note->severity, DIAG_SEVERITY_NOTE);
    ck_assert_str_eq(finding(DIAGS_LIMIT - 1)->expected, "number 199");
    /* notes have a count of their own, and so has another file */
    diag_add(diags, DIAG_STICKING_CYCLE, at, "home after 3 bars");
    ck_assert(diag_listed(diags));
    at.file = "b.yaml";
    diag_add(diags, DIAG_BAD_VALUE, at, "in another file");
    ck_assert(diag_listed(diags));
}
END_TEST

START_TEST(sorting_goes_by_place_and_keeps_the_order_of_equals)
{
    static const struct place places[] = {
        {"b", 1, 1, 1}, {"a", 2, 5, 1}, {"a", 2, 1, 1}, {NULL, 0, 0, 1},
        {"a", 1, 9, 1}, {"a", 2, 5, 1}, {"a", 2, 5, 1},
    };
    static const char wanted[] = "4215603";
    char got[8] = "";
    for (size_t i = 0; i < 7; i++)
        diag_add(diags, DIAG_SYNTAX, places[i], "%zu", i);
    diags_sort(diags);
    for (size_t i = 0; i < 7; i++)
        got[i] = finding(i)->message[0];
    ck_assert_str_eq(got, wanted);
}
END_TEST

static const struct {
    const char *wrong, *nearest;
} slips[] = {
    {"snaer", "snare"},     {"snre", "snare"},   {"snares", "snare"},       {"SNARE", "snare"},
    {"high-hat", "hi-hat"}, {"hihat", "hi-hat"}, {"rid", "ride"},           {"xx", NULL},
    {"trombone", NULL},     {"", NULL},          {"floortom", "floor-tom"},
};

START_TEST(a_name_is_sure_where_every_other_is_twice_as_far)
{
    static const char *const names[] = {"snare", "kick", "pick", "ride", "ride-bell"};
    static const struct {
        const char *wrong;
        bool sure;
    } tried[] = {{"snair", true}, {"snar", true}, {"SNARE", true}, {"kickk", true},
                 {"ick", false},  {"rode", true}, {"xick", false} /* kick and pick */};
    for (size_t i = 0; i < sizeof tried / sizeof *tried; i++) {
        diag_add(diags, DIAG_UNKNOWN_VOICE, (struct place){.file = "a"}, "no voice");
        diag_nearest_of(diags, tried[i].wrong, names, 5);
        ck_assert_msg(diags_get(diags, i)->sure == tried[i].sure, "%s", tried[i].wrong);
    }
}
END_TEST

START_TEST(warnings_can_be_errors_or_notes)
{
    const struct place at = {.file = "a"};
    diag_add(diags, DIAG_TOO_FAST, at, "fast");
    diag_add(diags, DIAG_TOO_FAR, at, "far");
    diag_add(diags, DIAG_RUDIMENT, at, "rudiment");
    diags_regrade(diags, (struct strictness){true, UINT64_C(1) << DIAG_TOO_FAR});
    ck_assert_int_eq(diags_get(diags, 0)->severity, DIAG_SEVERITY_ERROR);
    ck_assert_int_eq(diags_get(diags, 1)->severity, DIAG_SEVERITY_NOTE);
    ck_assert_int_eq(diags_get(diags, 2)->severity, DIAG_SEVERITY_NOTE);
    ck_assert_uint_eq(diags_errors(diags), 1);
}
END_TEST

START_TEST(the_nearest_name_is_found)
{
    static const char *const names[] = {"snare", "hi-hat", "ride", "floor-tom"};
    const char *nearest = diag_nearest_name(slips[_i].wrong, names, 4);
    if (slips[_i].nearest)
        ck_assert_str_eq(nearest, slips[_i].nearest);
    else
        ck_assert_ptr_null(nearest);
}
END_TEST

START_TEST(codes_have_words_that_lead_back_to_them)
{
    for (int i = 0; i < DIAG_CODE_COUNT; i++) {
        enum diag_code code;
        ck_assert(diag_code_from_word(diag_word((enum diag_code)i), &code));
        ck_assert_int_eq(code, i);
        ck_assert_uint_gt(strlen(diag_about((enum diag_code)i)), 10);
    }
    enum diag_code none;
    ck_assert(!diag_code_from_word("bar-lenght", &none));
}
END_TEST

static size_t count_code(enum diag_code code)
{
    size_t count = 0;
    for (size_t i = 0; i < diags_count(diags); i++)
        count += diags_get(diags, i)->code == code;
    return count;
}

static void read_build_and_check(const char *text)
{
    diags = diags_new(arena);
    struct lesson *lesson = lesson_from(text);
    if (!lesson)
        return;
    struct score *score = build_score(lesson, diags);
    score_mirror(score, lesson->settings.handed == HANDED_LEFT);
    check_score(score, diags);
    if (diags_errors(diags))
        return;
    vary_check(score, diags);
    play_fill_hands(score);
    check_stickings(score, diags);
    play_check(score, &(struct play_options){.at = 0}, diags);
}

/* The wrong example gets its code and no other error; the right one gets no error, and no finding
   of this code. */
START_TEST(each_code_is_taught_by_examples_that_are_true)
{
    const struct diag_lesson *taught = &diag_lessons[_i];
    ck_assert_msg(taught->text != NULL, "%s is not explained", diag_word((enum diag_code)_i));
    ck_assert_uint_gt(strlen(taught->text), 80);
    ck_assert_int_eq(taught->wrong == NULL, taught->right == NULL);
    bool shown = _i != DIAG_UNREADABLE && _i != DIAG_TEXT_FONT && _i != DIAG_NOT_PRINTABLE &&
                 _i != DIAG_PAGE_FIT && _i != DIAG_SCREEN_READER;
    ck_assert_int_eq(taught->wrong != NULL, shown);
    if (!shown)
        return;
    read_build_and_check(taught->wrong);
    size_t found = count_code((enum diag_code)_i);
    ck_assert_msg(found > 0, "the wrong example has no %s", diag_word((enum diag_code)_i));
    bool error = diag_usual_severity((enum diag_code)_i) == DIAG_SEVERITY_ERROR;
    ck_assert_uint_eq(diags_errors(diags), error ? found : 0);
    read_build_and_check(taught->right);
    ck_assert_msg(diags_errors(diags) == 0, "%s", finding(0)->message);
    ck_assert(_i == DIAG_STICKING_CYCLE || count_code((enum diag_code)_i) == 0);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("diag");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_test(cases, findings_keep_what_is_said_of_them);
    tcase_add_test(cases, beyond_the_limit_errors_are_only_counted);
    tcase_add_test(cases, sorting_goes_by_place_and_keeps_the_order_of_equals);
    tcase_add_test(cases, a_name_is_sure_where_every_other_is_twice_as_far);
    tcase_add_test(cases, warnings_can_be_errors_or_notes);
    tcase_add_loop_test(cases, the_nearest_name_is_found, 0, (int)(sizeof slips / sizeof *slips));
    tcase_add_test(cases, codes_have_words_that_lead_back_to_them);
    tcase_add_loop_test(cases, each_code_is_taught_by_examples_that_are_true, 0, DIAG_CODE_COUNT);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("diag");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
