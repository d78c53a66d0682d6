/*
 * Slips of one letter (left out, written twice, swapped with the next) in every word of the format,
 * and what check --fix makes of them. Words are taken where lessons have them (tests/effects has a
 * lesson for each key), and besides from the tables: each rudiment, voice, mark and subdivision,
 * and each word that the schema lists for a key.
 *
 * A mend must give back the text as it was. A slip that leaves a right lesson does not count, nor
 * does one that is as near to another word: that must be left alone.
 */
#include "base/buffer.h"
#include "base/file.h"
#include "build/build.h"
#include "console/mend.h"
#include "lesson_keys.h"
#include "model/rudiment.h"
#include "model/stroke_mark.h"
#include "model/subdivision.h"
#include "model/voice.h"
#include "read/read.h"
#include "schema_words.h"
#include "suite.h"

#include <check.h>
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const char *const folders[] = {"tests/effects", "examples", "tests/golden/layout"};

enum { FOLDER_COUNT = sizeof folders / sizeof *folders, PLACES_MAX = 4000, NAME_MAX_BYTES = 64 };
enum { SCHEMA_WORDS_MAX = 2000 };

static struct buffer courses[FOLDER_COUNT];

/* What was tried: a word under a key, `*` for a key. */
static struct tried {
    char key[NAME_MAX_BYTES], word[NAME_MAX_BYTES];
} tried[PLACES_MAX];
static size_t tried_count;

static size_t slips, mended, offered, silent;
static struct buffer wrong, left;

/* ---- one slip ------------------------------------------------------------------------------- */

/* Reads and builds a text. The findings live on the arena. */
static struct diags *findings_of(struct arena *arena, const struct buffer *text,
                                 const struct buffer *course)
{
    struct diags *diags = diags_new(arena);
    struct read_source above = {"course.yaml", course ? buffer_text(course) : "",
                                course ? course->length : 0};
    struct read_source source = {"lesson.yaml", buffer_text(text), text->length};
    const struct course_context *context =
        course && course->length ? read_course(arena, above, NULL, diags) : NULL;
    struct lesson *lesson = read_lesson(arena, source, context, diags);
    if (lesson)
        build_score(lesson, diags);
    diags_sort(diags);
    return diags;
}

static bool is_right(const struct buffer *text, const struct buffer *course)
{
    struct arena *arena = arena_new();
    bool right = diags_errors(findings_of(arena, text, course)) == 0;
    arena_free(arena);
    return right;
}

static bool offers_something(const struct diags *diags)
{
    for (size_t i = 0; i < diags_count(diags); i++)
        if (diags_get(diags, i)->nearest)
            return true;
    return false;
}

struct word_place {
    const struct buffer *text, *course;
    size_t from, length;
    const char *key;
};

/* Case makes no difference in `D.S. al Fine`. */
static bool is_same_text(const struct buffer *out, const struct word_place *place)
{
    return strcasecmp(buffer_text(out), buffer_text(place->text)) == 0 &&
           is_right(out, place->course);
}

static void judge(const struct word_place *place, const struct buffer *slip, const char *as)
{
    struct arena *arena = arena_new();
    struct buffer out = {0}, said = {0};
    struct diags *diags = findings_of(arena, slip, place->course);
    struct read_source source = {"lesson.yaml", buffer_text(slip), slip->length};
    const char *word = buffer_text(place->text) + place->from;
    if (diags_errors(diags)) {
        slips++;
        if (!mend_source(source, diags, &out, &said)) {
            bool offer = offers_something(diags);
            offered += offer;
            silent += !offer;
            buffer_format(&left, "%s: %.*s as %s%s\n", place->key, (int)place->length, word, as,
                          offer ? "" : " (nothing is offered)");
        } else if (is_same_text(&out, place))
            mended++;
        else
            buffer_format(&wrong, "%s: %.*s as %s: %s", place->key, (int)place->length, word, as,
                          buffer_text(&said));
    }
    buffer_release(&out);
    buffer_release(&said);
    arena_free(arena);
}

static void try_slip(const struct word_place *place, const char *as)
{
    struct buffer slip = {0};
    buffer_add(&slip, place->text->bytes, place->from);
    buffer_add_text(&slip, as);
    buffer_add(&slip, place->text->bytes + place->from + place->length,
               place->text->length - place->from - place->length);
    judge(place, &slip, as);
    buffer_release(&slip);
}

static bool is_new(const char *key, const char *word)
{
    for (size_t i = 0; i < tried_count; i++)
        if (strcmp(tried[i].key, key) == 0 && strcmp(tried[i].word, word) == 0)
            return false;
    ck_assert_uint_lt(tried_count, PLACES_MAX);
    snprintf(tried[tried_count].key, NAME_MAX_BYTES, "%s", key);
    snprintf(tried[tried_count++].word, NAME_MAX_BYTES, "%s", word);
    return true;
}

/* Makes every slip in a word that was not met before under this key. */
static void try_word(const struct word_place *place)
{
    char word[NAME_MAX_BYTES], as[NAME_MAX_BYTES + 1];
    if (place->length < 3 || place->length >= NAME_MAX_BYTES)
        return;
    snprintf(word, sizeof word, "%.*s", (int)place->length, buffer_text(place->text) + place->from);
    if (!is_new(place->key, word))
        return;
    for (size_t i = 0; i < place->length; i++) {
        snprintf(as, sizeof as, "%.*s%s", (int)i, word, word + i + 1);
        try_slip(place, as);
        snprintf(as, sizeof as, "%.*s%s", (int)i + 1, word, word + i);
        try_slip(place, as);
        if (i + 1 == place->length || word[i] == word[i + 1])
            continue;
        snprintf(as, sizeof as, "%.*s%c%c%s", (int)i, word, word[i + 1], word[i], word + i + 2);
        try_slip(place, as);
    }
}

/* ---- the words of a lesson ------------------------------------------------------------------- */

static bool is_letter(char byte)
{
    return islower((unsigned char)byte) || byte == '-';
}

/* The words of a stretch of text. */
static void try_words(struct word_place place, size_t to)
{
    const char *bytes = buffer_text(place.text);
    for (size_t at = place.from; at < to; at++) {
        size_t end = at;
        while (end < to && is_letter(bytes[end]))
            end++;
        place.from = at;
        place.length = end - at;
        bool part = (at > 0 && (isalnum((unsigned char)bytes[at - 1]) || bytes[at - 1] == '-')) ||
                    isalnum((unsigned char)bytes[end]);
        if (islower((unsigned char)bytes[at]) && !part)
            try_word(&place);
        at = end > at ? end - 1 : at;
    }
}

/* What no program can know: names that an author chooses are only tried where they are used. */
static bool is_free_text(const char *key)
{
    static const char *const keys[] = {"title",  "subtitle", "author",     "copyright", "date",
                                       "notes",  "text",     "id",         "words",     "mark",
                                       "label",  "language", "page-words", "patterns",  "short",
                                       "levels", "counting", NULL};
    for (size_t i = 0; keys[i]; i++)
        if (strcmp(keys[i], key) == 0)
            return true;
    return false;
}

static struct word_place at_hand; /* the lesson, and its course */

static void try_key(const struct lesson_key *key)
{
    struct word_place place = at_hand;
    bool names = strcmp(key->level, "passes") == 0 || strcmp(key->level, "names") == 0 ||
                 strcmp(key->level, "level names") == 0;
    if (!names) {
        place.key = key->level;
        place.from = key->from;
        const char *name = strstr(buffer_text(place.text) + key->from, key->name);
        if (name) {
            place.from = (size_t)(name - buffer_text(place.text));
            try_words(place, place.from + strlen(key->name));
        }
    }
    place.key = key->name;
    place.from = key->value_from;
    if (!is_free_text(key->name) && !names)
        try_words(place, key->value_to);
}

static struct schema_word {
    char level[NAME_MAX_BYTES], key[NAME_MAX_BYTES], word[NAME_MAX_BYTES];
} schema_words[SCHEMA_WORDS_MAX];
static size_t schema_word_count;

static void gather_word(const char *level, const char *key, const char *word)
{
    ck_assert_uint_lt(schema_word_count, SCHEMA_WORDS_MAX);
    struct schema_word *row = &schema_words[schema_word_count++];
    snprintf(row->level, NAME_MAX_BYTES, "%s", level);
    snprintf(row->key, NAME_MAX_BYTES, "%s", key);
    snprintf(row->word, NAME_MAX_BYTES, "%s", word);
}

/* A word in place of the value. */
static void try_schema_word(const struct lesson_key *key, const char *word)
{
    struct buffer text = {0};
    buffer_add(&text, at_hand.text->bytes, key->value_from);
    buffer_add_text(&text, word);
    buffer_add(&text, at_hand.text->bytes + key->value_to, at_hand.text->length - key->value_to);
    struct word_place place = {&text, at_hand.course, key->value_from, 0, key->name};
    if (is_right(&text, at_hand.course))
        try_words(place, place.from + strlen(word));
    buffer_release(&text);
}

static void try_other_words(const struct lesson_key *key)
{
    if (key->value_to == key->value_from || is_free_text(key->name))
        return;
    for (size_t i = 0; i < schema_word_count; i++)
        if (strcmp(schema_words[i].key, key->name) == 0 &&
            strcmp(schema_words[i].level, key->level) == 0)
            try_schema_word(key, schema_words[i].word);
}

static size_t folder;

static void try_lesson(const char *name)
{
    char path[300];
    struct buffer text = {0};
    snprintf(path, sizeof path, "%s/%s", folders[folder], name);
    ck_assert_msg(file_read(path, LESSON_BYTES_MAX, &text), "%s", path);
    at_hand = (struct word_place){.text = &text, .course = &courses[folder]};
    each_key(buffer_text(&text), text.length, "a lesson", try_key);
    each_key(buffer_text(&text), text.length, "a lesson", try_other_words);
    buffer_release(&text);
}

/* ---- the words of tables --------------------------------------------------------------------- */

/* A lesson in which `%s` is the word. */
static void try_in(const char *key, const char *lesson, const char *word)
{
    struct buffer text = {0};
    size_t from = (size_t)(strstr(lesson, "%s") - lesson);
    buffer_add(&text, lesson, from);
    buffer_add_text(&text, word);
    buffer_add_text(&text, lesson + from + 2);
    struct word_place place = {&text, NULL, from, 0, key};
    if (is_right(&text, NULL))
        try_words(place, from + strlen(word));
    buffer_release(&text);
}

static void try_rudiments(void)
{
    for (int i = 1; i <= RUDIMENT_COUNT; i++) {
        const char *name = rudiment_get(i)->name;
        char key[NAME_MAX_BYTES];
        snprintf(key, sizeof key, "sticking: %s", name);
        try_in(key, "exercises:\n  - subdivision: sixteenths\n    sticking: '%s'\n", name);
        snprintf(key, sizeof key, "rudiment: %s", name);
        try_in(key, "exercises:\n  - rudiment: '%s'\n    bars: resolve\n", name);
    }
}

static void try_voices(void)
{
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++) {
        const char *name = voice_builtin((enum voice_builtin)i)->name;
        try_in("a voice by count", "exercises:\n  - %s: eighths\n", name);
        try_in("play", "exercises:\n  - subdivision: eighths\n    sticking: R\n    play: {R: %s}\n",
               name);
        try_in("at", "exercises:\n  - subdivision: eighths\n    sticking: R\n    at: {1: %s}\n",
               name);
        try_in("voices", "exercises:\n  - rhythm: 4 2.\n    voices: %s snare\n", name);
        try_in("kit", "kit: {voices: {pot: %s}}\nexercises:\n  - pot: eighths\n", name);
    }
}

static void try_mark(const char *mark)
{
    if (!*mark)
        return;
    try_in("play mark",
           "exercises:\n  - subdivision: eighths\n    sticking: RL\n    play: {R: ride %s}\n",
           mark);
    try_in("at mark", "exercises:\n  - subdivision: eighths\n    sticking: RL\n    at: {1: %s}\n",
           mark);
    try_in("voices mark", "exercises:\n  - rhythm: 4 2.\n    voices: crash:%s snare\n", mark);
    try_in("a voice by count mark", "exercises:\n  - crash %s: 1\n    hi-hat: eighths\n", mark);
}

static void try_marks(void)
{
#define TRY_MARK(id, sign, times, word, ...) try_mark(word);
    STROKE_MARKS(TRY_MARK)
#undef TRY_MARK
    try_mark("flam");
    try_mark("drag");
    try_mark("ruff");
    try_mark("rest");
}

static void try_subdivisions(void)
{
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        const char *name = subdivision_name((enum subdivision)i);
        char key[NAME_MAX_BYTES];
        snprintf(key, sizeof key, "subdivision: %s", name);
        try_in(key, "exercises:\n  - subdivision: %s\n    sticking: RL\n", name);
        try_in(key, "exercises:\n  - time: 6/8\n    subdivision: %s\n    sticking: RL\n", name);
        snprintf(key, sizeof key, "counts: %s", name);
        try_in(key, "exercises:\n  - hi-hat: %s\n", name);
    }
}

START_TEST(every_word_of_the_format_is_mended)
{
    for (folder = 0; folder < FOLDER_COUNT; folder++) {
        char path[300];
        snprintf(path, sizeof path, "%s/course.yaml", folders[folder]);
        file_read(path, LESSON_BYTES_MAX, &courses[folder]);
    }
    each_schema_word(gather_word);
    try_rudiments();
    try_voices();
    try_marks();
    try_subdivisions();
    for (folder = 0; folder < FOLDER_COUNT; folder++)
        each_lesson(folders[folder], try_lesson);
    double share = 100.0 * (double)mended / (double)slips;
    if (getenv("SHOW_SLIPS"))
        printf("%s\nwrong:\n%s\n%zu words, %zu slips: %zu mended (%.1f %%), %zu offered, %zu not\n",
               buffer_text(&left), buffer_text(&wrong), tried_count, slips, mended, share, offered,
               silent);
    ck_assert_msg(!wrong.length, "mended into something else:\n%s", buffer_text(&wrong));
    ck_assert_uint_gt(slips, 15000);
    ck_assert_double_ge(share, 98);
    for (folder = 0; folder < FOLDER_COUNT; folder++)
        buffer_release(&courses[folder]);
    buffer_release(&wrong);
    buffer_release(&left);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("mend");
    tcase_set_timeout(cases, 300);
    tcase_add_test(cases, every_word_of_the_format_is_mended);
    Suite *suite = suite_create("mend");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
