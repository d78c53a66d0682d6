/* The reading loses nothing: its words, taken apart again (heard.c), are what the tree holds; and
   it says what a student should hear, in these words. */
#include "../generate/generate.h"
#include "base/file.h"
#include "build/build.h"
#include "built.h"
#include "heard.h"
#include "read/read.h"
#include "spoken/spoken.h"
#include "suite.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { GENERATED = 2000, PER_TEST = 250 };

/* ---- nothing is lost ---------------------------------------------------------------------- */

static void assert_heard(const struct score *score, const char *where)
{
    for (size_t e = 0; e < score->exercise_count; e++) {
        const struct score_exercise *exercise = &score->exercises[e];
        struct arena *arena = arena_new();
        struct buffer words = {0};
        spoken_music(score, e, &words);
        if (exercise->bar_count) {
            const char **heard = heard_bars(arena, score, exercise, buffer_text(&words), where);
            for (size_t b = 0; b < exercise->bar_count; b++) {
                const char *expected = heard_expected(arena, score, &exercise->bars[b]);
                ck_assert_msg(strcmp(heard[b], expected) == 0,
                              "%s: bar %zu of exercise %zu\nis\n%s\nbut heard as\n%s\nin\n%s",
                              where, b + 1, e + 1, expected, heard[b], buffer_text(&words));
            }
        }
        buffer_release(&words);
        arena_free(arena);
    }
}

/* All of these words are in the text of the exercises. */
static void assert_said(const struct score *score, const char *const *said, size_t count)
{
    struct buffer words = {0};
    for (size_t e = 0; e < score->exercise_count; e++)
        spoken_music(score, e, &words);
    for (size_t i = 0; i < count; i++)
        ck_assert_msg(strstr(buffer_text(&words), said[i]), "'%s' is not in\n%s", said[i],
                      buffer_text(&words));
    buffer_release(&words);
}

START_TEST(generated_lessons_are_heard_whole)
{
    for (int seed = _i * PER_TEST + 1; seed <= (_i + 1) * PER_TEST; seed++) {
        struct arena *arena = arena_new();
        char *text = generate_lesson(arena, (uint64_t)seed);
        struct built built = built_right(text);
        char where[40];
        snprintf(where, sizeof where, "seed %d", seed);
        assert_heard(built.score, where);
        built_release(&built);
        arena_free(arena);
    }
}
END_TEST

static struct read_source source_of(struct arena *arena, const char *path)
{
    struct buffer bytes = {0};
    ck_assert_msg(file_read(path, LESSON_BYTES_MAX, &bytes), "%s cannot be read", path);
    struct read_source source = {arena_copy_text(arena, path, strlen(path)),
                                 arena_copy_text(arena, buffer_text(&bytes), bytes.length),
                                 bytes.length};
    buffer_release(&bytes);
    return source;
}

START_TEST(every_example_is_heard_whole)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct course_context *context =
        read_course(arena, source_of(arena, "examples/course.yaml"), NULL, diags);
    const struct course *course = course_of(context);
    ck_assert_uint_gt(course->order_count, 10);
    for (size_t i = 0; i < course->order_count; i++) {
        const char *path = arena_format(arena, "examples/%s", course->order[i].text);
        struct lesson *lesson = read_lesson(arena, source_of(arena, path), context, diags);
        assert_heard(build_score(lesson, diags), path);
    }
    arena_free(arena);
}
END_TEST

START_TEST(every_extreme_is_heard_whole)
{
    DIR *folder = opendir("tests/stress");
    size_t count = 0;
    ck_assert_ptr_nonnull(folder);
    for (struct dirent *entry; (entry = readdir(folder));) {
        struct arena *arena = arena_new();
        struct diags *diags = diags_new(arena);
        const char *path = arena_format(arena, "tests/stress/%s", entry->d_name);
        const char *ending = strrchr(path, '.');
        if (ending && strcmp(ending, ".yaml") == 0) {
            struct lesson *lesson = read_lesson(arena, source_of(arena, path), NULL, diags);
            assert_heard(build_score(lesson, diags), path);
            count++;
        }
        arena_free(arena);
    }
    closedir(folder);
    ck_assert_uint_ge(count, 6);
}
END_TEST

/* ---- counts are those of the sheet -------------------------------------------------------- */

/* Over four beats the sheet counts three notes 1 trip let, and not the places that they have in
   each beat; hands say so beside the note values, feet number the notes. Four over three have
   places that can be counted: 1 a & e. */
START_TEST(a_tuplet_over_several_beats_is_counted_as_on_the_sheet)
{
    struct built built =
        built_right("exercises:\n"
                    "  - bars:\n"
                    "      - {rhythm: 3(2 2 2), sticking: R L R}\n"
                    "      - rhythm: 1\n"
                    "        sticking: R\n"
                    "        feet: {rhythm: 3(2 2 2), sticking: R L R}\n"
                    "      - {time: 3/4, rhythm: 4(4 4 4 4), sticking: R L R L}\n");
    assert_heard(built.score, "three in four, four in three");
    static const char *const said[] = {
        "Beats 1 to 4, by note values, counted 1 trip let: triplet of halves begins",
        "bass drum on 1, the third of 3 over beats 1 to 4", "left on the a", "right on the and",
        "left on the e"};
    assert_said(built.score, said, sizeof said / sizeof *said);
    built_release(&built);
}
END_TEST

/* ---- rolls are those of a drummer ---------------------------------------------------------- */

/* A measured roll has the name that rudiments have (PAS 7: five stroke roll), by its number and not
   by its slashes. */
START_TEST(a_roll_has_its_name_and_its_last_stroke)
{
    struct built built = built_right(
        "exercises:\n"
        "  - {rhythm: 4+8+8 2, sticking: R/// L>/, roll: {1: 5, 3: 23}}\n"
        "  - {rhythm: 4 4 8+8 8+16 16, sticking: R//+ L L/// R/ L, roll: {1: 9, 3: 7, 4: 3}}\n"
        "  - {rhythm: 4 4 4 4, sticking: R/ Lz+ R L+}\n"
        "  - {bars: [{rhythm: 2 2+, sticking: R L//, roll: {3: 7}}, {rhythm: 8 2.., sticking: "
        "R}]}\n");
    static const char *const said[] = {
        ("Beat 1: right five stroke roll in three slashes.\nBeat 2: the roll's last stroke.\n"
         "Beat 3: left twenty-three stroke roll in one slash accent."),
        "Beat 1: right nine stroke roll in two slashes into the next stroke.\nBeat 2: left.",
        "eighth left seven stroke roll in three slashes, the roll's last stroke.",
        "Beat 4: right three stroke roll in one slash, the roll's last stroke on the and",
        "Beat 1: right diddle.\nBeat 2: left buzz rolling on.",
        "Beat 4: left tied over.",
        "Bar 2. Beat 1: the roll's last stroke, right on the and."};
    assert_heard(built.score, "measured rolls");
    assert_said(built.score, said, sizeof said / sizeof *said);
    built_release(&built);
}
END_TEST

/* ---- notes that are held ------------------------------------------------------------------- */

/* The left hand's own line says through which beat a long note lasts, as a tie over the bar line
   does, under strokes of the feet, too. */
START_TEST(a_long_note_of_the_left_line_is_held)
{
    struct built built =
        built_right("exercises:\n"
                    "  - {right: {rhythm: 4*4, play: ride}, left: {rhythm: 2 2, play: snare},\n"
                    "     kick: 1 2 3}\n"
                    "  - right: {rhythm: 4*4, play: ride}\n"
                    "    bars:\n"
                    "      - {left: {rhythm: 4 2.+, play: snare}, kick: 2}\n"
                    "      - {left: {rhythm: 2 8+4 8, play: snare}, kick: 4&}\n"
                    "      - {left: {rhythm: 4 _4 2+, play: snare}}\n"
                    "      - {left: {rhythm: 1}}\n"
                    "  - {right: {rhythm: 4*4, play: ride}, left: {rhythm: 4*4, play: snare}}\n");
    static const char *const said[] = {
        "Left hand: snare on 1 held through 2, 3 held through 4.\nFeet: bass drum on 1, 2, 3.",
        "Left hand: snare on 1, 2 held through 4.",
        "Left hand: held through 2; snare on 3 held through 4, the and in eighths of 4.",
        "Left hand: snare on 1, 3 held through 4.",
        "Left hand: held through 4.",
        "Left hand: snare on every beat."};
    assert_heard(built.score, "held");
    assert_said(built.score, said, sizeof said / sizeof *said);
    built_release(&built);
}
END_TEST

static Suite *spoken_suite(void)
{
    Suite *suite = suite_create("spoken");
    TCase *whole = tcase_create("nothing is lost");
    tcase_set_timeout(whole, 120);
    tcase_add_test(whole, every_example_is_heard_whole);
    tcase_add_test(whole, every_extreme_is_heard_whole);
    tcase_add_loop_test(whole, generated_lessons_are_heard_whole, 0, GENERATED / PER_TEST);
    suite_add_tcase(suite, whole);
    TCase *counts = tcase_create("counts");
    tcase_add_test(counts, a_tuplet_over_several_beats_is_counted_as_on_the_sheet);
    suite_add_tcase(suite, counts);
    TCase *rolls = tcase_create("rolls");
    tcase_add_test(rolls, a_roll_has_its_name_and_its_last_stroke);
    suite_add_tcase(suite, rolls);
    TCase *held = tcase_create("held");
    tcase_add_test(held, a_long_note_of_the_left_line_is_held);
    suite_add_tcase(suite, held);
    return suite;
}

int main(void)
{
    return run_suite(spoken_suite());
}
