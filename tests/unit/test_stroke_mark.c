/*
 * Every row of STROKE_MARKS, taken through the whole program: a mark that is read has to be on the
 * page, in the grid, in the words and, where its row says how it sounds, in the sound. A mark whose
 * row is forgotten somewhere fails here by name.
 */
#include "base/buffer.h"
#include "base/file.h"
#include "chart/chart.h"
#include "model/stroke_mark.h"
#include "perform/perform.h"
#include "set_lesson.h"
#include "spoken/spoken.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

/* One bar whose first stroke has a mark, set without fonts. */
struct marked {
    struct set_lesson set;
    struct buffer text, words, grid;
};

static void set_marked(struct marked *marked)
{
    set_lesson_open(&marked->set, "marked", buffer_text(&marked->text), marked->text.length, NULL,
                    false);
    ck_assert_msg(marked->set.layout != NULL, "%s: %s", buffer_text(&marked->text),
                  diags_get(marked->set.diags, 0)->message);
    spoken_music(marked->set.score, 0, &marked->words);
    chart_write(marked->set.score, (struct exercise_choice){0}, 80, &marked->grid);
}

static void open_marked(struct marked *marked, const char *sticking, const char *word)
{
    *marked = (struct marked){0};
    buffer_format(&marked->text,
                  "tempo: 60\nsubdivision: quarters\nexercises:\n  - sticking: '%s'\n", sticking);
    if (*word)
        buffer_format(&marked->text, "    at: {1: %s}\n", word);
    set_marked(marked);
}

static void open_plain(struct marked *marked)
{
    open_marked(marked, "RLRL", "");
}

static void close_marked(struct marked *marked)
{
    set_lesson_close(&marked->set);
    buffer_release(&marked->text);
    buffer_release(&marked->words);
    buffer_release(&marked->grid);
}

/* Written by its sign; by its word where it has none. */
static void open_mark(struct marked *marked, const struct stroke_mark *mark)
{
    char sticking[16];
    const char signs[] = {mark->sign, mark->sign, mark->sign};
    snprintf(sticking, sizeof sticking, "R%.*s LRL", mark->times, signs);
    open_marked(marked, mark->sign ? sticking : "RLRL", mark->sign ? "" : mark->word);
}

static const struct note *first_note(const struct marked *marked)
{
    return marked->set.score->exercises[0].bars[0].lines[LINE_HANDS].leaves[0].note;
}

static void assert_has(const struct marked *marked, const struct stroke_mark *mark)
{
    const struct note *note = first_note(marked);
    mark_set has = note->marks | (note->hits[0].ghost ? MARK_GHOST : MARK_NONE);
    ck_assert_msg(has == mark->bit, "'%s' came to be %x", mark->spoken, has);
}

START_TEST(a_sign_reaches_the_score)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    struct marked marked;
    if (!mark->sign)
        return;
    open_mark(&marked, mark);
    assert_has(&marked, mark);
    close_marked(&marked);
}
END_TEST

START_TEST(a_word_reaches_the_score)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    struct marked marked;
    if (!*mark->word)
        return;
    open_marked(&marked, "RLRL", mark->word);
    assert_has(&marked, mark);
    close_marked(&marked);
}
END_TEST

START_TEST(a_mark_is_spoken)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    struct marked marked, plain;
    open_mark(&marked, mark);
    open_plain(&plain);
    ck_assert_msg(strstr(buffer_text(&marked.words), mark->spoken) &&
                      !strstr(buffer_text(&plain.words), mark->spoken),
                  "'%s' is not in: %s", mark->spoken, buffer_text(&marked.words));
    close_marked(&marked);
    close_marked(&plain);
}
END_TEST

START_TEST(a_mark_is_in_the_grid)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    struct marked marked;
    char cell[16];
    open_mark(&marked, mark);
    snprintf(cell, sizeof cell, "%s%s ", mark->grid == MARK_CELL_LETTER ? "R" : "\u2502",
             mark->cell);
    ck_assert_msg(strstr(buffer_text(&marked.grid), cell) != NULL, "'%s' is not in: %s",
                  mark->spoken, buffer_text(&marked.grid));
    close_marked(&marked);
}
END_TEST

/* How often the page shows a glyph; GLYPH_NONE: how many marks it has at all. */
static size_t count_glyph(const struct marked *marked, enum glyph glyph)
{
    const struct page *page = layout_page(marked->set.layout, 1);
    size_t count = 0;
    for (size_t i = 0; i < page->mark_count; i++)
        count += glyph == GLYPH_NONE ||
                 (page->marks[i].shape == SHAPE_GLYPH && page->marks[i].glyph == glyph);
    return count;
}

START_TEST(a_mark_is_on_the_page)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    enum glyph glyph = marks_glyph(mark->bit, (enum mark_place)mark->place, true);
    struct marked marked, plain;
    open_mark(&marked, mark);
    open_plain(&plain);
    ck_assert_msg(count_glyph(&marked, glyph) > count_glyph(&plain, glyph),
                  "nothing on the page shows '%s'", mark->spoken);
    close_marked(&marked);
    close_marked(&plain);
}
END_TEST

/* Key, time and strength of every strike. */
static void add_sound(const struct marked *marked, struct buffer *out)
{
    const struct perform_options drums = {.drums = true};
    const char *why = NULL;
    const struct performance *performance = perform(marked->set.score, &drums, &why);
    ck_assert_msg(performance != NULL, "%s", why ? why : "?");
    for (size_t i = 0; i < performance->strike_count; i++) {
        const struct strike *strike = &performance->strikes[i];
        buffer_format(out, "%d %lld/%lld %d, ", strike->key, (long long)strike->at.numerator,
                      (long long)strike->at.denominator, strike->velocity);
    }
}

START_TEST(a_mark_sounds_as_its_row_says)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    struct marked marked, plain;
    struct buffer sound = {0}, plain_sound = {0};
    open_mark(&marked, mark);
    open_plain(&plain);
    add_sound(&marked, &sound);
    add_sound(&plain, &plain_sound);
    bool differs = strcmp(buffer_text(&sound), buffer_text(&plain_sound)) != 0;
    ck_assert_msg(differs == (mark->strokes != 1 || mark->level != 0), "'%s' sounds as %s",
                  mark->spoken, buffer_text(&sound));
    buffer_release(&sound);
    buffer_release(&plain_sound);
    close_marked(&marked);
    close_marked(&plain);
}
END_TEST

/* ---- feet ---------------------------------------------------------------------------------- */

/* Every way to give a foot a stroke; `%s`: the mark with its blank, or nothing. */
static const char *const ways_of_feet[] = {
    "sticking: RL\n    kick%s: 1 3",
    "sticking: RL\n    hat-foot%s: 1 3",
    "sticking: RL\n    bass-drum%s: 1 3",
    "sticking: RL\n    second-bass-drum%s: 1 3",
    "sticking: RL\n    foot-splash%s: 1 3",
    "sticking: RL\n    kick: 1 3\n    play: {RF: bass-drum%s}",
    "sticking: RL\n    hat-foot: 1 3\n    play: {LF: foot-splash%s}",
    "sticking: RL\n    hat-foot: 1 3\n    play: {LF: [foot-splash%s, hi-hat-foot]}",
    "play: {R: bass-drum%s}",
    "voices: snare\n    at: {3: hi-hat-foot%s}",
    "sticking: RL\n    feet: {subdivision: quarters, play: {RF: bass-drum%s}}",
    "sticking: RL\n    play: {LF: foot-splash%s}\n    feet: {rhythm: 2 2, sticking: L L}",
};
enum { WAYS_OF_FEET = sizeof ways_of_feet / sizeof *ways_of_feet };

static void open_foot(struct marked *marked, const char *way, const char *word)
{
    char mark[32];
    *marked = (struct marked){0};
    snprintf(mark, sizeof mark, "%s%s", *word ? " " : "", word);
    buffer_add_text(&marked->text, "tempo: 60\nsubdivision: quarters\nexercises:\n  - ");
    const char *gap = strstr(way, "%s");
    buffer_add(&marked->text, way, (size_t)(gap - way));
    buffer_format(&marked->text, "%s%s\n", mark, gap + 2);
    set_marked(marked);
}

START_TEST(a_foot_shows_and_sounds_every_mark)
{
    const struct stroke_mark *mark = &stroke_marks[_i % MARK_COUNT];
    const char *way = ways_of_feet[_i / MARK_COUNT];
    enum glyph glyph = marks_glyph(mark->bit, (enum mark_place)mark->place, false);
    struct marked marked, plain;
    struct buffer sound = {0}, plain_sound = {0};
    bool dry = mark->bit == MARK_LET_RING && strstr(way, "hat-foot%s"); /* which is an error */
    if (!*mark->word || dry)
        return;
    open_foot(&marked, way, mark->word);
    open_foot(&plain, way, "");
    add_sound(&marked, &sound);
    add_sound(&plain, &plain_sound);
    bool loud = strcmp(buffer_text(&sound), buffer_text(&plain_sound)) != 0;
    ck_assert_msg(loud == (mark->strokes != 1 || mark->level != 0), "%s sounds as %s",
                  buffer_text(&marked.text), buffer_text(&sound));
    ck_assert_msg(strstr(buffer_text(&marked.words), mark->spoken) != NULL, "%s is said as %s",
                  buffer_text(&marked.text), buffer_text(&marked.words));
    ck_assert_msg(strstr(buffer_text(&marked.grid), mark->cell) != NULL, "%s has the grid %s",
                  buffer_text(&marked.text), buffer_text(&marked.grid));
    ck_assert_msg(count_glyph(&marked, glyph) > count_glyph(&plain, glyph),
                  "%s does not show its mark", buffer_text(&marked.text));
    buffer_release(&sound);
    buffer_release(&plain_sound);
    close_marked(&marked);
    close_marked(&plain);
}
END_TEST

/* ---- the rows beside each other ------------------------------------------------------------ */

static bool same_text(const char *one, const char *other)
{
    return *one && strcmp(one, other) == 0;
}

START_TEST(no_two_marks_are_called_the_same)
{
    for (int a = 0; a < MARK_COUNT; a++)
        for (int b = 0; b < a; b++) {
            const struct stroke_mark *one = &stroke_marks[a], *other = &stroke_marks[b];
            ck_assert_msg(
                !same_text(one->word, other->word) && !same_text(one->named, other->named) &&
                    !same_text(one->spoken, other->spoken) && !same_text(one->cell, other->cell),
                "'%s' and '%s'", one->spoken, other->spoken);
        }
}
END_TEST

/* One place of the page holds one sign: two marks that would share it exclude each other. */
START_TEST(marks_of_one_place_exclude_each_other)
{
    for (int a = 0; a < MARK_COUNT; a++)
        for (int b = 0; b < a; b++) {
            const struct stroke_mark *one = &stroke_marks[a], *other = &stroke_marks[b];
            ck_assert_msg(one->place != other->place || marks_against(one->bit) & other->bit,
                          "'%s' and '%s' stand in one place", one->spoken, other->spoken);
        }
}
END_TEST

START_TEST(exclusion_holds_both_ways)
{
    for (int a = 0; a < MARK_COUNT; a++)
        for (int b = 0; b < MARK_COUNT; b++) {
            mark_set one = stroke_marks[a].bit, other = stroke_marks[b].bit;
            bool excluded = marks_against(one) & other;
            char conflict[MARKS_CONFLICT_ROOM];
            ck_assert_int_eq(excluded, (marks_against(other) & one) != 0);
            ck_assert_int_eq(excluded, marks_conflict(one | other, conflict));
            ck_assert_uint_eq(marks_over(one, other), excluded ? one : one | other);
        }
}
END_TEST

/* A mark excludes what its own row names and whatever names it, but not itself. */
START_TEST(a_mark_excludes_what_the_rows_say)
{
    const struct stroke_mark *mark = &stroke_marks[_i];
    for (int other = 0; other < MARK_COUNT; other++) {
        const struct stroke_mark *against = &stroke_marks[other];
        bool said = (mark->excludes & against->bit) || (against->excludes & mark->bit);
        bool excluded = marks_against(mark->bit) & against->bit;
        ck_assert_msg(excluded == (said && other != _i), "'%s' %s '%s'", mark->spoken,
                      excluded ? "excludes" : "does not exclude", against->spoken);
    }
}
END_TEST

static void expect_excluded(mark_set marks, enum mark_index by)
{
    for (int i = 0; i < MARK_COUNT; i++)
        ck_assert_msg(!(stroke_marks[i].bit & marks) ||
                          marks_against(stroke_marks[by].bit) & stroke_marks[i].bit,
                      "'%s' allows '%s'", stroke_marks[by].spoken, stroke_marks[i].spoken);
}

/* Common practice: a stroke is loud or soft, the hats stand one way, a roll goes on or rings out.
 */
START_TEST(marks_that_contradict_each_other_exclude_each_other)
{
    expect_excluded(MARKS_LOUD, MARK_INDEX_GHOST);
    expect_excluded(MARK_HALF_OPEN | MARK_CLOSED, MARK_INDEX_OPEN);
    expect_excluded(MARK_LET_RING, MARK_INDEX_RING);
}
END_TEST

/* ---- texts --------------------------------------------------------------------------------- */

/* What a file says from the line `from` to the line `to`, on one line. */
static void read_part(const char *path, const char *from, const char *to, struct buffer *part)
{
    struct buffer file = {0};
    ck_assert_msg(file_read(path, 1 << 20, &file), "%s cannot be read", path);
    const char *begin = strstr(buffer_text(&file), from);
    const char *end = begin ? strstr(begin + 1, to) : NULL;
    ck_assert_msg(end != NULL, "%s has no '%s', or no '%s' behind it", path, from + 1, to + 1);
    for (; begin <= end; begin++)
        buffer_add(part, *begin == '\n' ? " " : begin, 1);
    buffer_release(&file);
}

/* Fails by the mark's name if the part does not have these words, with nothing but a blank or a
   comma beside them. */
static void expect_words(const char *path, const char *from, const char *to, const char *words,
                         const struct stroke_mark *mark)
{
    struct buffer part = {0};
    size_t length = strlen(words);
    read_part(path, from, to, &part);
    const char *found = strstr(buffer_text(&part), words);
    while (found && (found[-1] != ' ' || !strchr(" ,.", found[length])))
        found = strstr(found + 1, words);
    ck_assert_msg(found != NULL, "%s: '%s' of the mark '%s' is not below '%s'", path, words,
                  mark->spoken, from + 1);
    buffer_release(&part);
}

START_TEST(a_mark_is_in_the_manual)
{
    static const char manual[] = "man/ratamark-lesson.5";
    const struct stroke_mark *mark = &stroke_marks[_i];
    const char signs[] = {mark->sign, mark->sign, mark->sign};
    char stroke[16];
    snprintf(stroke, sizeof stroke, "R%.*s", mark->times, signs);
    expect_words(manual, "\nRead aloud, the marks are", ".\n", mark->spoken, mark);
    if (*mark->word)
        expect_words(manual, "\n.Sh MARKS IN WORDS", "\nRead aloud", mark->word, mark);
    if (mark->sign)
        expect_words(manual, "\n.Sh STROKE LINES", "\n.El", stroke, mark);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stroke mark");
    TCase *tests = tcase_create("rows");
    tcase_add_loop_test(tests, a_sign_reaches_the_score, 0, MARK_COUNT);
    tcase_add_loop_test(tests, a_word_reaches_the_score, 0, MARK_COUNT);
    tcase_add_loop_test(tests, a_mark_is_spoken, 0, MARK_COUNT);
    tcase_add_loop_test(tests, a_mark_is_in_the_grid, 0, MARK_COUNT);
    tcase_add_loop_test(tests, a_mark_is_on_the_page, 0, MARK_COUNT);
    tcase_add_loop_test(tests, a_mark_sounds_as_its_row_says, 0, MARK_COUNT);
    tcase_add_loop_test(tests, a_foot_shows_and_sounds_every_mark, 0, WAYS_OF_FEET * MARK_COUNT);
    tcase_add_test(tests, no_two_marks_are_called_the_same);
    tcase_add_test(tests, marks_of_one_place_exclude_each_other);
    tcase_add_test(tests, exclusion_holds_both_ways);
    tcase_add_loop_test(tests, a_mark_excludes_what_the_rows_say, 0, MARK_COUNT);
    tcase_add_test(tests, marks_that_contradict_each_other_exclude_each_other);
    tcase_add_loop_test(tests, a_mark_is_in_the_manual, 0, MARK_COUNT);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
