/*
 * No key is without effect: for each key of each table of the reader, at each of its levels, some
 * lesson changes on the page, in sound or in its report when the key is taken away. A new key
 * without such a lesson fails by its name. Lessons are those of FOLDERS; where they show no effect,
 * tests/effects has one made for it.
 */
#include "base/buffer.h"
#include "base/file.h"
#include "lesson_keys.h"
#include "ratamark.h"
#include "read/read.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const folders[] = {"tests/effects", "examples", "tests/golden/layout"};

/* What these say is seen in a whole course only, where another test takes care of it. */
static const struct {
    const char *name, *test;
} elsewhere[] = {
    {"order", "tests/cli/test_course_folders.sh"},
    {"leave-out", "tests/cli/test_course_folders.sh"},
    {"produce", "tests/cli/test_course_folders.sh"},
    {"strict", "tests/cli/test_playability.sh"},
    {"allow", "tests/cli/test_playability.sh"},
    {"subtitle", "tests/cli/test_booklet.sh"},
};

enum { KEYS_MAX = 256, LESSONS_MAX = 200 };

static struct {
    struct known_key key;
    bool proven;
    size_t tried;
} keys[KEYS_MAX];
static size_t key_count;

static struct lesson_file {
    char path[300];
    struct buffer text;
    const struct buffer *course; /* of its folder; NULL: none */
    struct buffer shown;         /* as it is */
} lessons[LESSONS_MAX];
static size_t lesson_count;
static struct buffer courses[sizeof folders / sizeof *folders];

/* ---- what a lesson shows -------------------------------------------------------------------- */

static bool take(void *closure, const void *bytes, size_t length)
{
    buffer_add(closure, bytes, length);
    return true;
}

static bool has_syntax_error(const struct ratamark *lesson)
{
    for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++)
        if (strcmp(ratamark_diagnostic(lesson, i)->code, "syntax") == 0)
            return true;
    return false;
}

/* All findings but their places, which move when a line is taken away. */
static void add_report(const struct ratamark *lesson, struct buffer *out)
{
    for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++) {
        const struct ratamark_diagnostic *diag = ratamark_diagnostic(lesson, i);
        buffer_format(out, "%s %s\n", diag->code, diag->message);
    }
    for (size_t i = 0; i < ratamark_verdict_count(lesson); i++)
        buffer_format(out, "%g %s\n", ratamark_verdict(lesson, i)->max_tempo,
                      ratamark_verdict(lesson, i)->level);
}

/* Report, sound and pages. False if the text is no YAML any more. */
static bool show(const char *name, const struct buffer *text, const struct buffer *course,
                 struct buffer *out)
{
    struct ratamark_text source = {name, buffer_text(text), text->length};
    struct ratamark_text above = {"course.yaml", course ? buffer_text(course) : "",
                                  course ? course->length : 0};
    struct ratamark *lesson = ratamark_read(&source, course ? &above : NULL);
    bool right = ratamark_check(lesson) == RATAMARK_OK;
    bool syntax = has_syntax_error(lesson);
    if (right) {
        ratamark_judge(lesson, NULL);
        ratamark_write(lesson, RATAMARK_MIDI, NULL, take, out);
        ratamark_lay_out(lesson, NULL);
        ratamark_write(lesson, RATAMARK_PDF, NULL, take, out);
    }
    add_report(lesson, out);
    ratamark_free(lesson);
    return !syntax;
}

/* ---- taking a key away ---------------------------------------------------------------------- */

static size_t key_number(const struct lesson_key *key)
{
    for (size_t i = 0; i < key_count; i++)
        if (strcmp(keys[i].key.name, key->name) == 0 && strcmp(keys[i].key.level, key->level) == 0)
            return i;
    return key_count;
}

static void cut(const struct buffer *text, const struct lesson_key *key, struct buffer *out)
{
    buffer_add(out, buffer_text(text), key->from);
    buffer_add(out, buffer_text(text) + key->to, text->length - key->to);
}

static struct lesson_file *at_hand; /* the lesson that is gone through; NULL: a course */
static struct buffer *course_at_hand;

/* Whether this lesson shows something else with the changed text, or under the changed course. */
static bool changes(struct lesson_file *file, const struct buffer *text,
                    const struct buffer *course)
{
    struct buffer shown = {0};
    if (!file->shown.length)
        show(file->path, &file->text, file->course, &file->shown);
    bool usable = show(file->path, text, course, &shown);
    bool same = shown.length == file->shown.length &&
                memcmp(buffer_text(&shown), buffer_text(&file->shown), shown.length) == 0;
    buffer_release(&shown);
    return usable && !same;
}

static void take_away(const struct lesson_key *key)
{
    size_t number = key_number(key);
    if (number == key_count || keys[number].proven || key->from == key->to)
        return;
    struct buffer without = {0};
    keys[number].tried++;
    cut(at_hand ? &at_hand->text : course_at_hand, key, &without);
    bool proven = at_hand && changes(at_hand, &without, at_hand->course);
    for (size_t i = 0; !at_hand && i < lesson_count && !proven; i++)
        if (lessons[i].course == course_at_hand)
            proven = changes(&lessons[i], &lessons[i].text, &without);
    for (size_t i = number; i < key_count; i++) /* two tables can have the same row */
        if (strcmp(keys[i].key.name, key->name) == 0 && strcmp(keys[i].key.level, key->level) == 0)
            keys[i].proven = proven;
    buffer_release(&without);
}

/* ---- the lessons ---------------------------------------------------------------------------- */

static size_t folder_at_hand;

static void read_lesson_file(const char *name)
{
    struct lesson_file *file = &lessons[lesson_count++];
    ck_assert_uint_lt(lesson_count, LESSONS_MAX);
    snprintf(file->path, sizeof file->path, "%s/%s", folders[folder_at_hand], name);
    ck_assert_msg(file_read(file->path, LESSON_BYTES_MAX, &file->text), "%s", file->path);
    if (courses[folder_at_hand].length)
        file->course = &courses[folder_at_hand];
}

static void read_folders(void)
{
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        char path[300];
        snprintf(path, sizeof path, "%s/course.yaml", folders[i]);
        file_read(path, LESSON_BYTES_MAX, &courses[i]);
        folder_at_hand = i;
        each_lesson(folders[i], read_lesson_file);
    }
}

static void settle_elsewhere(void)
{
    for (size_t i = 0; i < sizeof elsewhere / sizeof *elsewhere; i++) {
        struct buffer test = {0};
        char key[40];
        snprintf(key, sizeof key, "%s:", elsewhere[i].name);
        ck_assert_msg(file_read(elsewhere[i].test, 1 << 20, &test), "%s", elsewhere[i].test);
        ck_assert_msg(strstr(buffer_text(&test), key), "%s has no '%s'", elsewhere[i].test, key);
        buffer_release(&test);
        for (size_t k = 0; k < key_count; k++)
            if (strcmp(keys[k].key.name, elsewhere[i].name) == 0 &&
                strcmp(keys[k].key.level, "a course file") == 0)
                keys[k].proven = true;
    }
}

START_TEST(every_key_changes_page_sound_or_report)
{
    struct buffer idle = {0};
    while (key_count < KEYS_MAX && read_known_key(key_count, &keys[key_count].key))
        key_count++;
    ck_assert_uint_lt(key_count, KEYS_MAX);
    ck_assert_uint_gt(key_count, 100);
    settle_elsewhere();
    read_folders();
    for (size_t i = 0; i < lesson_count; i++) {
        at_hand = &lessons[i];
        each_key(buffer_text(&lessons[i].text), lessons[i].text.length, "a lesson", take_away);
    }
    at_hand = NULL;
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        course_at_hand = &courses[i];
        if (courses[i].length)
            each_key(buffer_text(&courses[i]), courses[i].length, "a course file", take_away);
    }
    for (size_t i = 0; i < key_count; i++)
        if (!keys[i].proven)
            buffer_format(&idle, "\n  '%s' in %s (tried %zu times)", keys[i].key.name,
                          keys[i].key.level, keys[i].tried);
    for (size_t i = 0; i < lesson_count; i++) {
        buffer_release(&lessons[i].text);
        buffer_release(&lessons[i].shown);
    }
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++)
        buffer_release(&courses[i]);
    if (idle.length)
        ck_abort_msg("no lesson shows what these do:%s", buffer_text(&idle));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("effects");
    tcase_set_timeout(cases, 300);
    tcase_add_test(cases, every_key_changes_page_sound_or_report);
    Suite *suite = suite_create("effects");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
