/*
 * Every key and every value has an effect. For each key of the reader's tables, at each of its
 * levels, removing the key changes some lesson's page, sound or report. For any two words that a
 * key can have, some lesson comes out differently with each. Dropping the last item of a list shows
 * as well. If no lesson shows what a new key or word does, the test fails and names it. The lessons
 * are in `folders`; tests/effects has those written for this test.
 */
#include "base/buffer.h"
#include "base/file.h"
#include "build/build.h"
#include "lesson_keys.h"
#include "model/score_same.h"
#include "ratamark.h"
#include "read/read.h"
#include "schema_words.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const folders[] = {"tests/effects", "examples", "tests/golden/layout"};

/* These only show in a whole course, so the test named covers them. */
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

enum { KEYS_MAX = 256, LESSONS_MAX = 200, VALUES_MAX = 1000 };

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
    size_t played_length;        /* of that, what is no report */
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

/* The lesson's score, or NULL if it has errors. */
static const struct score *score_of(struct arena *arena, const char *name,
                                    const struct buffer *text, const struct buffer *course)
{
    struct diags *diags = diags_new(arena);
    struct read_source above = {"course.yaml", course ? buffer_text(course) : "",
                                course ? course->length : 0};
    struct read_source source = {name, buffer_text(text), text->length};
    const struct course_context *context = course ? read_course(arena, above, NULL, diags) : NULL;
    struct lesson *lesson = read_lesson(arena, source, context, diags);
    const struct score *score = lesson ? build_score(lesson, diags) : NULL;
    return diags_errors(diags) ? NULL : score;
}

/* What two lessons print and play must be known from their scores. */
static void judge_scores(const struct lesson_file *file, const struct buffer *text,
                         const struct buffer *course, bool same)
{
    struct arena *arena = arena_new();
    const struct score *one = score_of(arena, file->path, &file->text, file->course);
    const struct score *other = score_of(arena, file->path, text, course);
    if (one && other && !same)
        ck_assert_msg(!score_same(one, other), "%s: the scores are the same for\n%s", file->path,
                      buffer_text(text));
    if (one)
        ck_assert_msg(score_same(one, score_of(arena, file->path, &file->text, file->course)),
                      "%s: not the same as itself", file->path);
    arena_free(arena);
}

static size_t played_length; /* of the text show() added last: without the report */

/* Adds sound, pages and the report. False if the text is no longer valid YAML. */
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
    played_length = out->length;
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

static void read_folders(void);
static void release_lessons(void);

static struct lesson_file *at_hand;   /* the lesson under test; NULL: a course */
static struct buffer *course_at_hand; /* if there is no lesson at hand */

/* Whether this lesson shows something else with the changed text, or under the changed course. */
static bool changes(struct lesson_file *file, const struct buffer *text,
                    const struct buffer *course)
{
    struct buffer shown = {0};
    if (!file->shown.length) {
        show(file->path, &file->text, file->course, &file->shown);
        file->played_length = played_length;
    }
    bool usable = show(file->path, text, course, &shown);
    judge_scores(file, text, course,
                 played_length == file->played_length &&
                     memcmp(buffer_text(&shown), buffer_text(&file->shown), played_length) == 0);
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

/* ---- another value -------------------------------------------------------------------------- */

/* The levels of one table count as one: a word means the same at each. */
static const char *table_of(const char *level)
{
    static const char *const music[] = {"a lesson", "an exercise", "a bar",  "a course file",
                                        "'feet'",   "'right'",     "'left'", NULL};
    for (size_t i = 0; music[i]; i++)
        if (strcmp(level, music[i]) == 0)
            return "music";
    return level;
}

static struct value {
    char table[40], key[40], word[40];
    size_t tried;
} values[VALUES_MAX];
static size_t value_count;

static bool is_elsewhere(const char *key)
{
    for (size_t i = 0; i < sizeof elsewhere / sizeof *elsewhere; i++)
        if (strcmp(elsewhere[i].name, key) == 0 && strcmp(key, "subtitle") != 0)
            return true;
    return false;
}

static void add_value(const char *table, const char *key, const char *word)
{
    for (size_t i = 0; i < value_count; i++)
        if (strcmp(values[i].table, table) == 0 && strcmp(values[i].key, key) == 0 &&
            strcmp(values[i].word, word) == 0)
            return;
    struct value *value = &values[value_count++];
    ck_assert_uint_lt(value_count, VALUES_MAX);
    snprintf(value->table, sizeof value->table, "%s", table);
    snprintf(value->key, sizeof value->key, "%s", key);
    snprintf(value->word, sizeof value->word, "%s", word);
}

static void gather_value(const char *level, const char *key, const char *word)
{
    if (strcmp(level, "a lesson") == 0 || !is_elsewhere(key))
        add_value(table_of(level), key, word);
}

static void replace(const struct buffer *text, size_t from, size_t to, const char *by,
                    struct buffer *out)
{
    buffer_add(out, buffer_text(text), from);
    buffer_add_text(out, by);
    buffer_add(out, buffer_text(text) + to, text->length - to);
}

static uint64_t joined(uint64_t sum, const struct buffer *text)
{
    for (size_t i = 0; i < text->length; i++)
        sum = (sum ^ (unsigned char)text->bytes[i]) * 1099511628211u; /* FNV-1a */
    return sum;
}

/* What the lesson, or every lesson of the course, shows if the key has this word. */
static uint64_t shown_with(const struct lesson_key *key, const char *word)
{
    struct buffer quoted = {0}, other = {0};
    const struct buffer *text = at_hand ? &at_hand->text : course_at_hand;
    uint64_t sum = 14695981039346656037u;
    buffer_format(&quoted, strchr(word, '#') ? "'%s'" : "%s", word);
    replace(text, key->value_from, key->value_to, buffer_text(&quoted), &other);
    for (size_t i = 0; i < lesson_count; i++) {
        struct lesson_file *file = &lessons[i];
        const struct buffer *changed = at_hand ? &other : &file->text;
        const struct buffer *course = at_hand ? file->course : &other;
        struct buffer shown = {0};
        if (at_hand ? file != at_hand : file->course != course_at_hand)
            continue;
        show(file->path, changed, course, &shown);
        sum = joined(sum, &shown);
        buffer_release(&shown);
    }
    buffer_release(&quoted);
    buffer_release(&other);
    return sum;
}

static bool apart[VALUES_MAX][VALUES_MAX]; /* whether some lesson differs with these two words */

/* off and no, on and yes ... */
static bool are_alike(const char *a, const char *b)
{
    static const char *const alike[][2] = {{"no", "off"}, {"no", "false"}, {"off", "false"},
                                           {"yes", "on"}, {"yes", "true"}, {"on", "true"}};
    for (size_t i = 0; i < sizeof alike / sizeof *alike; i++)
        if ((strcmp(a, alike[i][0]) == 0 && strcmp(b, alike[i][1]) == 0) ||
            (strcmp(b, alike[i][0]) == 0 && strcmp(a, alike[i][1]) == 0))
            return true;
    return false;
}

static bool of_one_key(const struct value *a, const struct value *b)
{
    return a != b && strcmp(a->key, b->key) == 0 && strcmp(a->table, b->table) == 0;
}

/* A word that no lesson has yet told from this one, or NULL. */
static const struct value *find_alike(size_t number)
{
    const struct value *value = &values[number];
    for (size_t i = 0; i < value_count; i++)
        if (of_one_key(value, &values[i]) && !apart[number][i] &&
            !are_alike(value->word, values[i].word))
            return &values[i];
    return NULL;
}

static void set_apart(const size_t *numbers, const uint64_t *sums, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++)
            if (sums[i] != sums[j])
                apart[numbers[i]][numbers[j]] = true;
}

/* Tries the key with each word that does not yet differ from all others. */
static void try_words(const struct lesson_key *key)
{
    size_t numbers[VALUES_MAX], count = 0;
    uint64_t sums[VALUES_MAX];
    const char *table = table_of(key->level);
    for (size_t i = 0; i < value_count && key->value_to > key->value_from; i++) {
        struct value *value = &values[i];
        if (strcmp(value->key, key->name) != 0 || strcmp(value->table, table) != 0 ||
            !find_alike(i))
            continue;
        value->tried++;
        numbers[count] = i;
        sums[count++] = shown_with(key, value->word);
    }
    set_apart(numbers, sums, count);
}

START_TEST(every_word_changes_page_sound_or_report)
{
    struct buffer idle = {0};
    read_folders();
    each_schema_word(gather_value);
    ck_assert_uint_gt(value_count, 200);
    for (size_t i = 0; i < lesson_count; i++) {
        at_hand = &lessons[i];
        each_key(buffer_text(&lessons[i].text), lessons[i].text.length, "a lesson", try_words);
    }
    at_hand = NULL;
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        course_at_hand = &courses[i];
        if (courses[i].length)
            each_key(buffer_text(&courses[i]), courses[i].length, "a course file", try_words);
    }
    for (size_t i = 0; i < value_count; i++)
        if (find_alike(i))
            buffer_format(&idle, "\n  '%s: %s' and '%s' in %s (tried %zu times)", values[i].key,
                          values[i].word, find_alike(i)->word, values[i].table, values[i].tried);
    release_lessons();
    if (idle.length)
        ck_abort_msg("no lesson tells these apart:%s", buffer_text(&idle));
}
END_TEST

/* ---- the last of several -------------------------------------------------------------------- */

static struct list {
    char key[40], level[40];
    bool proven;
    size_t tried;
} lists[KEYS_MAX];
static size_t list_count;

static struct list *list_of(const struct lesson_key *key)
{
    for (size_t i = 0; i < list_count; i++)
        if (strcmp(lists[i].key, key->name) == 0 && strcmp(lists[i].level, key->level) == 0)
            return &lists[i];
    ck_assert_uint_lt(list_count, KEYS_MAX);
    struct list *list = &lists[list_count++];
    snprintf(list->key, sizeof list->key, "%s", key->name);
    snprintf(list->level, sizeof list->level, "%s", key->level);
    return list;
}

/* Drops the last entry of a list, or of a map whose keys the author chooses. */
static void take_item(const struct lesson_key *key)
{
    if (key->item_from == key->item_to)
        return;
    struct list *list = list_of(key);
    struct buffer without = {0};
    if (list->proven)
        return;
    list->tried++;
    replace(&at_hand->text, key->item_from, key->item_to, "", &without);
    list->proven = changes(at_hand, &without, at_hand->course);
    buffer_release(&without);
}

START_TEST(every_list_changes_with_its_last_item)
{
    struct buffer idle = {0};
    read_folders();
    for (size_t i = 0; i < lesson_count; i++) {
        at_hand = &lessons[i];
        each_key(buffer_text(&lessons[i].text), lessons[i].text.length, "a lesson", take_item);
    }
    release_lessons();
    ck_assert_uint_gt(list_count, 20);
    for (size_t i = 0; i < list_count; i++)
        if (!lists[i].proven)
            buffer_format(&idle, "\n  '%s' in %s (tried %zu times)", lists[i].key, lists[i].level,
                          lists[i].tried);
    if (idle.length)
        ck_abort_msg("no lesson changes with the last item of these:%s", buffer_text(&idle));
}
END_TEST

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

static void release_lessons(void)
{
    for (size_t i = 0; i < lesson_count; i++) {
        buffer_release(&lessons[i].text);
        buffer_release(&lessons[i].shown);
    }
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++)
        buffer_release(&courses[i]);
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
    release_lessons();
    if (idle.length)
        ck_abort_msg("no lesson shows what these do:%s", buffer_text(&idle));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("effects");
    tcase_set_timeout(cases, 300);
    tcase_add_test(cases, every_key_changes_page_sound_or_report);
    tcase_add_test(cases, every_word_changes_page_sound_or_report);
    tcase_add_test(cases, every_list_changes_with_its_last_item);
    Suite *suite = suite_create("effects");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
