/*
 * The wrong files under tests/wrong: NAME.yaml beside NAME.expected, which has one line for each
 * finding: `LINE:COLUMN CODE`, and perhaps a piece of the message. A file must get exactly these
 * findings; notes on the cycles of stickings do not count.
 */
#include "base/buffer.h"
#include "base/file.h"
#include "build/build.h"
#include "check/check.h"
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FILES_MAX = 1000, FILES_LEAST = 150, PATH_MAX_LENGTH = 256 };

static char names[FILES_MAX][PATH_MAX_LENGTH]; /* paths without ".yaml" */
static int name_count;

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

static void find_files(const char *folder)
{
    DIR *open = opendir(folder);
    if (!open)
        return;
    for (struct dirent *entry; (entry = readdir(open));) {
        const char *dot = strrchr(entry->d_name, '.');
        char path[PATH_MAX_LENGTH];
        snprintf(path, sizeof path, "%s/%.120s", folder, entry->d_name);
        if (dot && strcmp(dot, ".yaml") == 0 && name_count < FILES_MAX) {
            path[strlen(path) - 5] = '\0';
            strcpy(names[name_count++], path);
        } else if (!dot) {
            find_files(path);
        }
    }
    closedir(open);
}

static void read_build_and_check(const char *path)
{
    static struct buffer bytes;
    bytes.length = 0;
    ck_assert_msg(file_read(path, LESSON_BYTES_MAX, &bytes), "%s cannot be read", path);
    struct read_source source = {path, buffer_text(&bytes), bytes.length};
    struct lesson *lesson = read_lesson(arena, source, NULL, diags);
    if (lesson)
        check_score(build_score(lesson, diags), diags);
    diags_sort(diags);
    buffer_release(&bytes);
}

static const char *findings(void)
{
    char *all = arena_copy_text(arena, "", 0);
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        if (diag->code != DIAG_STICKING_CYCLE)
            all = arena_format(arena, "%s%u:%u %s %s\n", all, diag->at.line, diag->at.column,
                               diag_word(diag->code), diag->message);
    }
    return all;
}

/* Compares place and code, and looks for the piece of the message in what follows. */
static bool line_agrees(const char *wanted, const char *got)
{
    const char *code = strchr(wanted, ' ');
    const char *piece = code ? strchr(code + 1, ' ') : NULL;
    size_t exact = piece ? (size_t)(piece - wanted) : strlen(wanted);
    return strncmp(wanted, got, exact) == 0 && got[exact] == ' ' &&
           (!piece || strstr(got + exact, piece + 1));
}

/* Takes the next line from a text; NULL at the end. */
static char *next_line(char **text)
{
    char *line = *text;
    char *end = strchr(line, '\n');
    if (!end)
        return NULL;
    *end = '\0';
    *text = end + 1;
    return line;
}

START_TEST(a_wrong_file_gets_these_findings)
{
    const char *name = names[_i];
    struct buffer expected = {0};
    ck_assert_msg(file_read(arena_format(arena, "%s.expected", name), 1 << 16, &expected),
                  "%s.expected cannot be read", name);
    char *wanted = arena_copy_text(arena, buffer_text(&expected), expected.length);
    const char *all_wanted = arena_copy_text(arena, wanted, expected.length);
    buffer_release(&expected);
    read_build_and_check(arena_format(arena, "%s.yaml", name));
    const char *all_got = findings();
    char *got = arena_copy_text(arena, all_got, strlen(all_got));
    ck_assert_msg(*wanted, "%s expects nothing", name);
    for (char *line; (line = next_line(&wanted));) {
        char *got_line = next_line(&got);
        if (!got_line || !line_agrees(line, got_line))
            ck_abort_msg("%s\nwanted:\n%sgot:\n%s", name, all_wanted, all_got);
    }
    ck_assert_msg(!*got, "%s\nwanted:\n%sgot:\n%s", name, all_wanted, all_got);
    bool notes_alone = true;
    for (size_t i = 0; i < diags_count(diags); i++)
        notes_alone &= diags_get(diags, i)->severity == DIAG_SEVERITY_NOTE;
    ck_assert_msg(!notes_alone, "%s", name);
}
END_TEST

START_TEST(there_are_enough_of_them)
{
    ck_assert_int_ge(name_count, FILES_LEAST);
    ck_assert_int_lt(name_count, FILES_MAX);
}
END_TEST

int main(void)
{
    find_files("tests/wrong");
    qsort(names, (size_t)name_count, sizeof *names, by_name);
    TCase *cases = tcase_create("wrong");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_loop_test(cases, a_wrong_file_gets_these_findings, 0, name_count);
    tcase_add_test(cases, there_are_enough_of_them);
    Suite *suite = suite_create("wrong");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
