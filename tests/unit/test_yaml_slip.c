/*
 * The search for the slip behind a YAML error must not take a right line for a slip: the first one
 * it finds is all that the author sees. So it finds nothing in any lesson that YAML accepts. What
 * it finds in wrong lessons is in tests/wrong/yaml, and tests/slips measures it over the examples.
 */
#include "read/yaml_slip.h"

#include "base/buffer.h"
#include "base/file.h"
#include "read/read.h"
#include "reading.h"
#include "suite.h"

#include <check.h>
#include <dirent.h>
#include <string.h>

static bool find_slip(const char *name, const char *text, size_t length, struct yaml_slip *slip)
{
    struct source source = {.name = name, .bytes = text, .length = length};
    ck_assert_msg(source_check(&source, arena, diags), "%s", name);
    return yaml_slip_find(&source, UINT32_MAX, is_known_key, arena, slip);
}

static size_t check_folder(const char *folder)
{
    size_t count = 0;
    DIR *open = opendir(folder);
    ck_assert_ptr_nonnull(open);
    for (struct dirent *entry; (entry = readdir(open));) {
        const char *dot = strrchr(entry->d_name, '.');
        if (!dot || strcmp(dot, ".yaml") != 0)
            continue;
        const char *path = arena_format(arena, "%s/%s", folder, entry->d_name);
        struct buffer bytes = {0};
        struct yaml_slip slip;
        ck_assert(file_read(path, 1 << 22, &bytes));
        if (find_slip(path, buffer_text(&bytes), bytes.length, &slip))
            ck_abort_msg("%s:%u:%u: %s", path, slip.line, slip.column, slip.words);
        buffer_release(&bytes);
        count++;
    }
    closedir(open);
    return count;
}

START_TEST(right_lessons_have_no_slip)
{
    ck_assert_uint_ge(check_folder("examples"), 20);
    ck_assert_uint_ge(check_folder("tests/stress"), 5);
    ck_assert_uint_ge(check_folder("tests/wrong/bars"), 20);
    ck_assert_uint_ge(check_folder("tests/wrong/values"), 10);
    ck_assert_uint_ge(check_folder("tests/wrong/voices"), 10);
}
END_TEST

/* Everything that YAML allows a lesson to do with lines, columns, quotes and brackets. */
static const char *const right[] = {
    "notes: |\n  one: two {\n\n   three\n\n  - \"four\ntitle: five\n",
    "notes: >-\n  it's: 'one\n",
    "text: one two\n  three, four's five\n  play it again\n",
    "play: {R: ride,\n       L: [snare, # a list\n    snare]}\nkick: 1\n",
    "text: \"one\n  two: three\"\nkick: 1\n",
    "text: 'it''s one' # two: three\nkick: 1\n",
    "exercises:\n- title: a\n  kick: 1\n-  title: b\n   kick: 2\n",
    "exercises:\n  -\n    title: a\n    kick: 1\n  - - - a\n    - b\n",
    "kick:\n  - 1 2\n  - 3\n# comment\n    # comment\nkit: {}\n",
    "\"title\": a\n'kick' : 1\nexercises: [{title: x}, {title: \"}\"}]\n",
    "---\ntitle: a\n",
    "at:\n  1:1: a\n  1, 2: b\n  {x: y}: c\n",
    "order:\n  - 01-first.yaml\n  - a b\n",
    "{title: a, exercises: [\n{kick: 1},\n{kick: 2}]}\n",
};

START_TEST(right_lines_are_no_slips)
{
    struct yaml_slip slip;
    if (find_slip("right", right[_i], strlen(right[_i]), &slip))
        ck_abort_msg("%s\n%u:%u: %s", right[_i], slip.line, slip.column, slip.words);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("yaml_slip");
    tcase_add_checked_fixture(cases, reading_begin, reading_finish);
    tcase_add_test(cases, right_lessons_have_no_slip);
    tcase_add_loop_test(cases, right_lines_are_no_slips, 0, sizeof right / sizeof *right);
    Suite *suite = suite_create("yaml_slip");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
