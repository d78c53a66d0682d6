/* The library through its public header: results, options, laying out again, and what it lends. */
#include "ratamark.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char good[] =
    "title: Low Water\n"
    "tempo: 90\n"
    "exercises:\n"
    "  - {title: Even, subdivision: sixteenths, sticking: RLRR LRLL, bars: 2}\n"
    "  - {title: Open, rhythm: 8*8, at: {1: crash}}\n"
    "  - {title: Long, subdivision: sixteenths, sticking: RL, bars: 64}\n";
static const char wrong[] = "title: Low Water\nexercises:\n  - {title: No, voices: snair}\n";
static const char course[] = "levels: {starter: {like: beginner, bounce: 120}}\n";

struct bytes {
    char *text;
    size_t length, room;
    size_t refuse_after; /* 0: never */
};

static bool take(void *closure, const void *bytes, size_t length)
{
    struct bytes *taken = closure;
    if (taken->refuse_after && taken->length + length > taken->refuse_after)
        return false;
    if (taken->length + length + 1 > taken->room) {
        taken->room = 2 * (taken->length + length + 1);
        taken->text = realloc(taken->text, taken->room);
        ck_assert_ptr_nonnull(taken->text);
    }
    memcpy(taken->text + taken->length, bytes, length);
    taken->length += length;
    taken->text[taken->length] = '\0';
    return true;
}

static struct ratamark *read_text(const char *text)
{
    struct ratamark_text lesson = {"own.yaml", text, strlen(text)};
    return ratamark_read(&lesson, NULL);
}

static struct ratamark *read_good(void)
{
    struct ratamark *lesson = read_text(good);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    return lesson;
}

static struct bytes written(struct ratamark *lesson, enum ratamark_format format,
                            const struct ratamark_options *options)
{
    struct bytes bytes = {0};
    ck_assert_int_eq(ratamark_write(lesson, format, options, take, &bytes), RATAMARK_OK);
    ck_assert_uint_gt(bytes.length, 0);
    return bytes;
}

static bool same_bytes(struct bytes a, struct bytes b)
{
    return a.length == b.length && memcmp(a.text, b.text, a.length) == 0;
}

/* ---- order and results ----------------------------------------------------------------------- */

START_TEST(a_call_too_early_says_so)
{
    struct ratamark *lesson = read_text(good);
    struct bytes bytes = {0};
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_TOO_EARLY);
    ck_assert_int_eq(ratamark_judge(lesson, NULL), RATAMARK_TOO_EARLY);
    ck_assert_int_eq(ratamark_stick(lesson, NULL), RATAMARK_TOO_EARLY);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_TEXT, NULL, take, &bytes), RATAMARK_TOO_EARLY);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_PDF, NULL, take, &bytes), RATAMARK_TOO_EARLY);
    ck_assert_uint_eq(bytes.length, 0);
    ratamark_free(lesson);
}
END_TEST

START_TEST(a_wrong_lesson_says_where)
{
    struct ratamark *lesson = read_text(wrong);
    struct bytes bytes = {0};
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_LESSON_WRONG);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_LESSON_WRONG);
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_LESSON_WRONG);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_MIDI, NULL, take, &bytes),
                     RATAMARK_LESSON_WRONG);
    ck_assert_uint_eq(ratamark_error_count(lesson), 1);
    const struct ratamark_diagnostic *found = ratamark_diagnostic(lesson, 0);
    ck_assert_str_eq(found->code, "unknown-voice");
    ck_assert_str_eq(found->nearest, "snare");
    ck_assert_str_eq(found->at.file, "own.yaml");
    ck_assert_uint_eq(found->at.line, 3);
    ck_assert_ptr_null(ratamark_diagnostic(lesson, ratamark_diagnostic_count(lesson)));
    ratamark_free(lesson);
}
END_TEST

START_TEST(text_that_is_no_lesson_is_no_crash)
{
    struct ratamark *lesson = read_text("\xff{");
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_LESSON_WRONG);
    ck_assert_uint_ge(ratamark_error_count(lesson), 1);
    ck_assert_ptr_null(ratamark_title(lesson));
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_LESSON_WRONG);
    ratamark_free(lesson);
}
END_TEST

START_TEST(each_result_has_words_of_its_own)
{
    for (int a = RATAMARK_OK; a <= RATAMARK_NOT_DRAWN; a++)
        for (int b = a + 1; b <= RATAMARK_NOT_DRAWN + 1; b++)
            ck_assert_str_ne(ratamark_result_text((enum ratamark_result)a),
                             ratamark_result_text((enum ratamark_result)b));
}
END_TEST

START_TEST(bytes_that_are_refused_are_reported)
{
    static const enum ratamark_format formats[] = {RATAMARK_PDF, RATAMARK_TEXT, RATAMARK_GRID,
                                                   RATAMARK_MIDI, RATAMARK_PRACTICE_PAGE};
    struct ratamark *lesson = read_good();
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_OK);
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
        struct bytes bytes = {.refuse_after = 5};
        ck_assert_int_eq(ratamark_write(lesson, formats[i], NULL, take, &bytes),
                         RATAMARK_NOT_WRITTEN);
        free(bytes.text);
    }
    ck_assert_int_eq(ratamark_write(lesson, (enum ratamark_format)99, NULL, take, NULL),
                     RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_PDF, NULL, NULL, NULL), RATAMARK_BAD_ARGUMENT);
    ratamark_free(lesson);
}
END_TEST

/* ---- options --------------------------------------------------------------------------------- */

START_TEST(options_refuse_what_is_out_of_range)
{
    struct ratamark_options *options = ratamark_options_new();
    const uint32_t zero = 0;
    ck_assert_int_eq(ratamark_set_margin(options, 4.9), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_margin(options, 60.1), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_margin(options, NAN), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_margin(options, 60), RATAMARK_OK);
    ck_assert_int_eq(ratamark_set_staff_height(options, 2.9), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_dpi(options, 9), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_columns(options, 19), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_tempo(options, 1000), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_count_in(options, 17), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_times(options, 0), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_exercises(options, &zero, 1), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_exercises(options, NULL, 1), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_page_size(options, (enum ratamark_page_size)7),
                     RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_sticking_style(options, (enum ratamark_sticking_style)7),
                     RATAMARK_BAD_ARGUMENT);
    ratamark_options_free(options);
}
END_TEST

START_TEST(a_practice_page_needs_a_layout_and_has_no_pages)
{
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ratamark_set_page(options, 1);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_PRACTICE_PAGE, NULL, take, NULL),
                     RATAMARK_TOO_EARLY);
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_OK);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_PRACTICE_PAGE, options, take, NULL),
                     RATAMARK_BAD_ARGUMENT);
    struct bytes page = written(lesson, RATAMARK_PRACTICE_PAGE, NULL);
    ck_assert_int_eq(strncmp(page.text, "<!DOCTYPE html>", 15), 0);
    free(page.text);
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

START_TEST(fresh_options_are_the_defaults)
{
    static const enum ratamark_format formats[] = {RATAMARK_PDF, RATAMARK_TEXT, RATAMARK_GRID,
                                                   RATAMARK_MIDI, RATAMARK_PRACTICE_PAGE};
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_OK);
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
        struct bytes plain = written(lesson, formats[i], NULL);
        struct bytes same = written(lesson, formats[i], options);
        ck_assert(same_bytes(plain, same));
        free(plain.text);
        free(same.text);
    }
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

START_TEST(one_exercise_is_said_drawn_and_played_alone)
{
    static const enum ratamark_format formats[] = {RATAMARK_TEXT, RATAMARK_GRID, RATAMARK_MIDI};
    const uint32_t second = 2, ninth = 9;
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ck_assert_int_eq(ratamark_set_exercises(options, &second, 1), RATAMARK_OK);
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
        struct bytes all = written(lesson, formats[i], NULL);
        struct bytes one = written(lesson, formats[i], options);
        ck_assert_uint_lt(one.length, all.length / 2);
        free(all.text);
        free(one.text);
    }
    ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_OK);
    ck_assert_uint_eq(ratamark_page_count(lesson), 1);
    ck_assert_int_eq(ratamark_set_exercises(options, &ninth, 1), RATAMARK_OK);
    ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_BAD_ARGUMENT);
    ck_assert_uint_eq(ratamark_page_count(lesson), 0);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_GRID, options, take, NULL),
                     RATAMARK_BAD_ARGUMENT);
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

/* ---- laying out again ------------------------------------------------------------------------ */

START_TEST(laying_out_again_forgets_the_layout_before)
{
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_OK);
    uint32_t pages = ratamark_page_count(lesson);
    struct bytes first = written(lesson, RATAMARK_PDF, NULL);
    ratamark_set_staff_height(options, 14);
    ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_OK);
    ck_assert_uint_gt(ratamark_page_count(lesson), pages);
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_OK);
    struct bytes again = written(lesson, RATAMARK_PDF, NULL);
    ck_assert_uint_eq(ratamark_page_count(lesson), pages);
    ck_assert(same_bytes(first, again));
    free(first.text);
    free(again.text);
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

/* ISO 216: A4 is 210 by 297 mm. Letter is 8.5 by 11 inches. In points, 72 an inch of 25.4 mm. */
START_TEST(the_page_size_is_that_of_the_options)
{
    static const struct {
        enum ratamark_page_size size;
        double width, height;
    } sizes[] = {{RATAMARK_A4, 595.276, 841.890}, {RATAMARK_LETTER, 612, 792}};
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ratamark_set_page(options, 1);
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        ratamark_set_page_size(options, sizes[i].size);
        ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_OK);
        struct bytes svg = written(lesson, RATAMARK_SVG, options);
        const char *box = strstr(svg.text, "viewBox=\"0 0 ");
        ck_assert_ptr_nonnull(box);
        char *next = NULL;
        ck_assert_double_eq_tol(strtod(box + 13, &next), sizes[i].width, 0.01);
        ck_assert_double_eq_tol(strtod(next, NULL), sizes[i].height, 0.01);
        free(svg.text);
    }
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

START_TEST(findings_of_a_layout_go_with_it)
{
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    size_t before = ratamark_diagnostic_count(lesson);
    ratamark_set_music_font(options, "/nowhere/font.otf");
    for (int i = 0; i < 2; i++) {
        ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_FONT_UNUSABLE);
        ck_assert_uint_eq(ratamark_page_count(lesson), 0);
        ck_assert_uint_eq(ratamark_diagnostic_count(lesson), before + 1);
        ck_assert_uint_eq(ratamark_error_count(lesson), 1);
    }
    ck_assert_str_eq(ratamark_diagnostic(lesson, before)->code, "unreadable");
    ck_assert_int_eq(ratamark_lay_out(lesson, NULL), RATAMARK_OK);
    ck_assert_uint_eq(ratamark_diagnostic_count(lesson), before);
    ck_assert_uint_eq(ratamark_error_count(lesson), 0);
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

START_TEST(formats_of_one_page_need_a_page)
{
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ratamark_set_staff_height(options, 14);
    ck_assert_int_eq(ratamark_lay_out(lesson, options), RATAMARK_OK);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_SVG, options, take, NULL),
                     RATAMARK_SEVERAL_PAGES);
    ratamark_set_page(options, ratamark_page_count(lesson) + 1);
    ck_assert_int_eq(ratamark_write(lesson, RATAMARK_SVG, options, take, NULL),
                     RATAMARK_BAD_ARGUMENT);
    ratamark_set_page(options, ratamark_page_count(lesson));
    struct bytes png = written(lesson, RATAMARK_PNG, options);
    ck_assert_mem_eq(png.text, "\x89PNG", 4);
    free(png.text);
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

/* ---- verdicts and stickings ------------------------------------------------------------------ */

/* The slower the hands that a level asks for, the lower the highest tempo. */
START_TEST(verdicts_are_for_a_level)
{
    static const char *const levels[] = {"beginner", "intermediate", "advanced"};
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ck_assert_uint_eq(ratamark_verdict_count(lesson), 0);
    double before = 0;
    for (size_t i = 0; i < sizeof levels / sizeof *levels; i++) {
        ratamark_set_level(options, levels[i]);
        ck_assert_int_eq(ratamark_judge(lesson, options), RATAMARK_OK);
        ck_assert_uint_eq(ratamark_verdict_count(lesson), ratamark_exercise_count(lesson));
        const struct ratamark_verdict *verdict = ratamark_verdict(lesson, 0);
        ck_assert_int_eq(verdict->kind, RATAMARK_UP_TO_TEMPO);
        ck_assert_str_eq(verdict->level, levels[i]);
        ck_assert_str_eq(verdict->title, "Even");
        ck_assert(verdict->max_tempo > before);
        ck_assert(!verdict->hands_chosen && ratamark_verdict(lesson, 1)->hands_chosen);
        ck_assert_ptr_nonnull(strstr(verdict->limb, " hand"));
        /* at the highest tempo the move just fits, down to the tenth */
        double there_is = verdict->beats * 60000 / verdict->max_tempo;
        ck_assert(there_is >= verdict->takes_ms && there_is < verdict->takes_ms * 1.01);
        before = verdict->max_tempo;
    }
    ck_assert_ptr_null(ratamark_verdict(lesson, ratamark_verdict_count(lesson)));
    ratamark_set_level(options, "nobody");
    ck_assert_int_eq(ratamark_judge(lesson, options), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_stick(lesson, options), RATAMARK_BAD_ARGUMENT);
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

/* Each call follows its own options, in any order. */
START_TEST(a_player_of_the_other_hand_may_be_chosen)
{
    struct ratamark_options *left = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ck_assert_int_eq(ratamark_set_handed(left, (enum ratamark_handed)3), RATAMARK_BAD_ARGUMENT);
    ck_assert_int_eq(ratamark_set_handed(left, RATAMARK_LEFT_HANDED), RATAMARK_OK);
    static const char *const limbs[] = {"left hand", "right hand"};
    double tempos[2];
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(ratamark_judge(lesson, i % 2 ? NULL : left), RATAMARK_OK);
        ck_assert_str_eq(ratamark_verdict(lesson, 0)->limb, limbs[i % 2]);
        tempos[i % 2] = ratamark_verdict(lesson, 0)->max_tempo;
    }
    ck_assert(tempos[0] == tempos[1]);
    ck_assert_int_eq(ratamark_stick(lesson, left), RATAMARK_OK);
    ck_assert_str_eq(ratamark_sticking(lesson, 0)->hands, "LRLLRLRRLRLLRLRR");
    ck_assert_int_eq(ratamark_stick(lesson, NULL), RATAMARK_OK);
    ck_assert_str_eq(ratamark_sticking(lesson, 0)->hands, "RLRRLRLLRLRRLRLL");
    ratamark_free(lesson);
    ratamark_options_free(left);
}
END_TEST

START_TEST(a_course_brings_levels_of_its_own)
{
    struct ratamark_text text = {"own.yaml", good, strlen(good)};
    struct ratamark_text above = {"course.yaml", course, strlen(course)};
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = ratamark_read(&text, &above);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    ratamark_set_level(options, "starter");
    ck_assert_int_eq(ratamark_judge(lesson, options), RATAMARK_OK);
    ck_assert_str_eq(ratamark_verdict(lesson, 0)->level, "starter");
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

START_TEST(judging_again_replaces_its_findings)
{
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_good();
    ck_assert_int_eq(ratamark_judge(lesson, NULL), RATAMARK_OK);
    size_t calm = ratamark_diagnostic_count(lesson);
    const struct ratamark_diagnostic *lent = ratamark_diagnostic(lesson, 0);
    const char *message = lent->message;
    ratamark_set_judged_tempo(options, 400);
    ck_assert_int_eq(ratamark_judge(lesson, options), RATAMARK_OK);
    ck_assert_uint_gt(ratamark_diagnostic_count(lesson), calm);
    ck_assert_int_eq(ratamark_judge(lesson, NULL), RATAMARK_OK);
    ck_assert_uint_eq(ratamark_diagnostic_count(lesson), calm);
    ck_assert_ptr_eq(lent->message, message); /* what was lent stays */
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

START_TEST(open_hands_are_chosen)
{
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = read_text("exercises:\n"
                                        "  - {subdivision: sixteenths, sticking: RLRR LRLL}\n"
                                        "  - {rhythm: 8*8}\n");
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    ck_assert_uint_eq(ratamark_sticking_count(lesson), 0);
    ratamark_set_sticking_style(options, RATAMARK_ALTERNATE);
    ck_assert_int_eq(ratamark_stick(lesson, options), RATAMARK_OK);
    ck_assert_uint_eq(ratamark_sticking_count(lesson), 2);
    const struct ratamark_sticking *written_one = ratamark_sticking(lesson, 0);
    ck_assert_uint_eq(written_one->exercise, 1);
    ck_assert_uint_eq(written_one->bar, 1);
    ck_assert_str_eq(written_one->hands, "RLRRLRLLRLRRLRLL");
    ck_assert_uint_eq(written_one->chosen, 0);
    const struct ratamark_sticking *open = ratamark_sticking(lesson, 1);
    ck_assert_str_eq(open->hands, "RLRLRLRL");
    ck_assert_uint_eq(open->chosen, 8);
    ck_assert_ptr_null(ratamark_sticking(lesson, 2));
    ratamark_free(lesson);
    ratamark_options_free(options);
}
END_TEST

/* ---- explanations ---------------------------------------------------------------------------- */

START_TEST(codes_are_explained)
{
    const char *text, *bad, *right;
    ck_assert_int_eq(ratamark_explain("bar-length", &text, &bad, &right), RATAMARK_OK);
    struct ratamark *lesson = read_text(bad);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_LESSON_WRONG);
    ratamark_free(lesson);
    lesson = read_text(right);
    ck_assert_int_eq(ratamark_check(lesson), RATAMARK_OK);
    ratamark_free(lesson);
    ck_assert_int_eq(ratamark_explain("bar-lenght", &text, &bad, &right), RATAMARK_BAD_ARGUMENT);
    ck_assert_str_eq(ratamark_version(), RATAMARK_VERSION);
    ratamark_free(NULL);
    ratamark_options_free(NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("library");
    TCase *tests = tcase_create("library");
    tcase_add_test(tests, a_call_too_early_says_so);
    tcase_add_test(tests, a_wrong_lesson_says_where);
    tcase_add_test(tests, text_that_is_no_lesson_is_no_crash);
    tcase_add_test(tests, each_result_has_words_of_its_own);
    tcase_add_test(tests, bytes_that_are_refused_are_reported);
    tcase_add_test(tests, options_refuse_what_is_out_of_range);
    tcase_add_test(tests, a_practice_page_needs_a_layout_and_has_no_pages);
    tcase_add_test(tests, fresh_options_are_the_defaults);
    tcase_add_test(tests, one_exercise_is_said_drawn_and_played_alone);
    tcase_add_test(tests, laying_out_again_forgets_the_layout_before);
    tcase_add_test(tests, the_page_size_is_that_of_the_options);
    tcase_add_test(tests, findings_of_a_layout_go_with_it);
    tcase_add_test(tests, formats_of_one_page_need_a_page);
    tcase_add_test(tests, verdicts_are_for_a_level);
    tcase_add_test(tests, a_course_brings_levels_of_its_own);
    tcase_add_test(tests, judging_again_replaces_its_findings);
    tcase_add_test(tests, a_player_of_the_other_hand_may_be_chosen);
    tcase_add_test(tests, open_hands_are_chosen);
    tcase_add_test(tests, codes_are_explained);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
