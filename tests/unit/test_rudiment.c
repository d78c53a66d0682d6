/*
 * The forty rudiments against tests/reference/rudiments.tsv: the International Drum Rudiments of
 * the Percussive Arts Society (1984), with how sure each sticking, accent and rhythm is. The table
 * is parsed here by itself; ours goes through the readers of stroke lines and rhythm lines.
 */
#include "model/rudiment.h"
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct row {
    int number;
    char name[64], right[128], left[128], sticking[16], accents[16], rhythm[64], source[128];
};

static struct row rows[RUDIMENT_COUNT];

static void read_rows(void)
{
    FILE *file = fopen("tests/reference/rudiments.tsv", "r");
    ck_assert_ptr_nonnull(file);
    char line[512];
    int count = 0;
    while (fgets(line, sizeof line, file)) {
        struct row row;
        if (sscanf(line,
                   "%d\t%63[^\t]\t%127[^\t]\t%127[^\t]\t%15[^\t]\t%15[^\t]\t%63[^\t]\t%127[^\n]",
                   &row.number, row.name, row.right, row.left, row.sticking, row.accents,
                   row.rhythm, row.source) != 8)
            continue;
        ck_assert_int_lt(count, RUDIMENT_COUNT);
        rows[count++] = row;
    }
    fclose(file);
    ck_assert_int_eq(count, RUDIMENT_COUNT);
}

static void begin(void)
{
    reading_begin();
    read_rows();
}

/* One token of the table: grace letters, the stroke, signs. */
static void assert_stroke(const struct stroke *stroke, const char *token, const char *name)
{
    size_t graces = strspn(token, "rl");
    ck_assert_msg(stroke->grace_count == graces, "%s: '%s'", name, token);
    for (size_t i = 0; i < graces; i++)
        ck_assert_msg((stroke->graces >> i & 1) == (token[i] == 'l'), "%s: '%s'", name, token);
    enum hand hand = token[graces] == 'R' ? HAND_RIGHT : HAND_LEFT;
    ck_assert_msg(stroke->hand == hand, "%s: '%s'", name, token);
    const char *signs = token + graces + 1;
    unsigned marks = (strchr(signs, '>') ? MARK_ACCENT : 0u) |
                     (strchr(signs, '/') ? MARK_SLASH_1 : 0u) |
                     (strchr(signs, 'z') ? MARK_BUZZ : 0u);
    ck_assert_msg(stroke->marks == marks, "%s: '%s'", name, token);
}

/* The tokens of a figure against the strokes from `first` on; returns how many there were. */
static size_t assert_figure(const struct stroke_line *line, size_t first, const char *figure,
                            const char *name)
{
    char tokens[128];
    size_t count = 0;
    strcpy(tokens, figure);
    for (char *token = strtok(tokens, " "); token; token = strtok(NULL, " ")) {
        ck_assert_msg(first + count < line->count, "%s has too few strokes", name);
        assert_stroke(&line->strokes[first + count++], token, name);
    }
    return count;
}

/* Right lead first; where our line goes on, the left lead and nothing else. */
START_TEST(a_rudiment_is_that_of_the_table)
{
    const struct row *row = &rows[_i];
    const struct rudiment *rudiment = rudiment_find(row->name, strlen(row->name));
    ck_assert_msg(rudiment != NULL, "no '%s'", row->name);
    ck_assert_int_eq(rudiment->number, row->number);
    struct stroke_line *line = read_stroke_line(rudiment->strokes);
    assert_no_finding();
    size_t count = assert_figure(line, 0, row->right, row->name);
    if (count < line->count)
        count += assert_figure(line, count, row->left, row->name);
    ck_assert_uint_eq(count, line->count);
}
END_TEST

/* A token of the table's rhythm against one note or rest; `actual`: of the tuplet around it, or 0.
 */
static void assert_value(const char *token, const struct rhythm_item *item, unsigned actual,
                         const char *name)
{
    bool rest = *token == 'r';
    char *end;
    long value = strtol(token + rest, &end, 10);
    if (*end == '?')
        end++;
    else
        ck_assert_msg(1l << item->value_log2 == value && item->dots == 0, "%s: %s", name, token);
    ck_assert_msg((item->kind == RHYTHM_REST) == rest, "%s: %s", name, token);
    if (value || *end) /* a `?` alone says nothing of tuplets either */
        ck_assert_msg(actual == (*end == 't' ? 3u : *end == 's' ? 6u : 0u), "%s: %s", name, token);
}

/* One figure, note by note, where a public text has its rhythm; and as many notes as strokes. */
START_TEST(the_rhythm_of_a_rudiment_is_that_of_the_table)
{
    struct row *row = &rows[_i];
    const struct rudiment *rudiment = rudiment_get(row->number);
    struct rhythm_line *line = read_rhythm_line(rudiment->rhythm);
    assert_no_finding();
    unsigned actual = 0, notes = 0;
    char *token = strcmp(row->rhythm, "-") ? strtok(row->rhythm, " ") : NULL;
    bool known = token != NULL;
    for (size_t i = 0; i < line->count; i++) {
        const struct rhythm_item *item = &line->items[i];
        if (item->kind == RHYTHM_TUPLET_OPEN || item->kind == RHYTHM_TUPLET_CLOSE) {
            actual = item->kind == RHYTHM_TUPLET_OPEN ? item->actual : 0;
            continue;
        }
        notes += item->kind == RHYTHM_NOTE;
        ck_assert_msg(!known || token, "%s has more notes than the table", row->name);
        if (known)
            assert_value(token, item, actual, row->name);
        token = known ? strtok(NULL, " ") : NULL;
    }
    ck_assert_msg(!token, "%s lacks %s", row->name, token);
    unsigned strokes = 0;
    for (char *stroke = strtok(row->right, " "); stroke; stroke = strtok(NULL, " "))
        strokes++;
    ck_assert_msg(strokes == notes, "%s: %u notes, %u strokes", row->name, notes, strokes);
}
END_TEST

/* The table gives a reason for each missing value. */
START_TEST(seventeen_rhythms_are_seen_in_a_public_text)
{
    int seen = 0, open = 0;
    for (int i = 0; i < RUDIMENT_COUNT; i++) {
        seen += strcmp(rows[i].source, "memory") != 0 && strcmp(rows[i].source, "-") != 0;
        open += strchr(rows[i].rhythm, '?') != NULL;
    }
    ck_assert_int_eq(seen, 17);
    ck_assert_int_eq(open, 3);
}
END_TEST

/* A sticking by name is the line; its strokes stand where the name does. */
START_TEST(a_rudiment_is_read_by_name_in_a_lesson)
{
    const struct row *row = &rows[_i];
    struct lesson *lesson =
        good_lesson(arena_format(arena, "exercises:\n  - sticking: '%s'\n", row->name));
    const struct stroke_line *line = lesson->exercises[0].settings.sticking;
    ck_assert_str_eq(line->name, rudiment_get(row->number)->name);
    for (size_t i = 0; i < line->count; i++) {
        ck_assert_uint_eq(line->strokes[i].line, 2);
        ck_assert_uint_eq(line->strokes[i].column, 15);
    }
}
END_TEST

START_TEST(case_hyphens_and_spaces_do_not_matter)
{
    static const char *const spellings[] = {"Single Paradiddle", "single-paradiddle",
                                            "SINGLEPARADIDDLE", "single  paradiddle"};
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++)
        ck_assert_int_eq(rudiment_find(spellings[i], strlen(spellings[i]))->number, 16);
    ck_assert_int_eq(rudiment_find("drag paradiddle 1", 17)->number, 36);
    ck_assert_ptr_null(rudiment_find("", 0));
}
END_TEST

START_TEST(the_single_form_needs_no_single)
{
    static const struct {
        const char *name;
        int number;
    } names[] = {{"paradiddle", 16},      {"Paradiddle-diddle", 19}, {"ratamacue", 38},
                 {"drag tap", 32},        {"dragadiddle", 35},       {"flammed mill", 25},
                 {"flam paradiddle", 24}, {"flam tap", 22},          {"triple paradiddle", 18}};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        ck_assert_int_eq(rudiment_find(names[i].name, strlen(names[i].name))->number,
                         names[i].number);
    ck_assert_ptr_null(rudiment_find("stroke roll", 11)); /* which of them? */
    ck_assert_ptr_null(rudiment_find("drag paradiddle", 15));
}
END_TEST

START_TEST(there_are_forty_in_order)
{
    for (int i = 1; i <= RUDIMENT_COUNT; i++)
        ck_assert_int_eq(rudiment_get(i)->number, i);
    ck_assert_ptr_null(rudiment_get(0));
    ck_assert_ptr_null(rudiment_get(41));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("rudiment");
    tcase_add_checked_fixture(cases, begin, reading_finish);
    tcase_add_loop_test(cases, a_rudiment_is_that_of_the_table, 0, RUDIMENT_COUNT);
    tcase_add_loop_test(cases, a_rudiment_is_read_by_name_in_a_lesson, 0, RUDIMENT_COUNT);
    tcase_add_loop_test(cases, the_rhythm_of_a_rudiment_is_that_of_the_table, 0, RUDIMENT_COUNT);
    tcase_add_test(cases, seventeen_rhythms_are_seen_in_a_public_text);
    tcase_add_test(cases, the_single_form_needs_no_single);
    tcase_add_test(cases, case_hyphens_and_spaces_do_not_matter);
    tcase_add_test(cases, there_are_forty_in_order);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("rudiment");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
