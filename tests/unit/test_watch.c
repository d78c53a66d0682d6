/* Changes are seen, whatever the way a file was saved; others are not. Nothing here waits for time
   to pass: every change is made before it is waited for, and one that is not to be seen would show
   as a round too many. */
#include "app/watch.h"
#include "suite.h"

#include <check.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char folder[64];
static struct watch *watch;

static void put(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

static void enter(void)
{
    snprintf(folder, sizeof folder, "/tmp/ratamark-test-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    ck_assert_int_eq(mkdir("course", 0777), 0);
    ck_assert_int_eq(mkdir("course/week", 0777), 0);
    ck_assert_int_eq(mkdir("course/out", 0777), 0);
    put("course/week/one.yaml", "title: One");
    watch = watch_new();
    ck_assert_ptr_nonnull(watch);
}

static void leave(void)
{
    watch_free(watch);
    ck_assert_int_eq(chdir("/"), 0);
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static void begin_tree(void)
{
    watch_begin(watch);
    watch_tree(watch, "course", "course/out");
}

START_TEST(a_tree_tells_of_each_way_to_save)
{
    static const char *const ways[] = {
        "echo title: Two >course/week/one.yaml",
        "echo title: Three >course/.new && mv course/.new course/week/one.yaml",
        "mv course/week/one.yaml course/week/away && echo title: Four >course/week/one.yaml",
        "echo title: New >course/new.yaml",
        "ln course/new.yaml course/week/linked.yaml",
        "rm course/new.yaml",
        "mv course/week course/month",
        "mkdir course/week && echo title: One >course/week/one.yaml",
        "rm -r course/month",
        "mv course away",
        "mkdir course",
        "echo author: One >course/course.yaml",
    };
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        begin_tree();
        ck_assert_int_eq(system(ways[i]), 0);
        ck_assert_msg(watch_wait(watch), "%s", ways[i]);
    }
}
END_TEST

START_TEST(a_file_in_a_folder_that_is_new_is_seen_in_the_next_round)
{
    begin_tree();
    ck_assert_int_eq(mkdir("course/later", 0777), 0);
    ck_assert(watch_wait(watch));
    begin_tree();
    put("course/later/two.yaml", "title: Two");
    ck_assert(watch_wait(watch));
}
END_TEST

START_TEST(what_changes_while_a_round_is_at_work_is_not_lost)
{
    begin_tree();
    put("course/week/one.yaml", "title: Two");
    begin_tree();
    ck_assert(watch_wait(watch));
}
END_TEST

START_TEST(a_link_is_watched_where_it_leads)
{
    put("real.yaml", "title: Real");
    ck_assert_int_eq(symlink("../real.yaml", "course/link.yaml"), 0);
    begin_tree();
    put("real.yaml", "title: More real");
    ck_assert(watch_wait(watch));
    watch_begin(watch);
    watch_file(watch, "course/link.yaml");
    put("real.yaml", "title: Most real");
    ck_assert(watch_wait(watch));
}
END_TEST

START_TEST(a_file_whose_folders_are_not_there_is_watched_for)
{
    static const char *const steps[] = {"mkdir far", "mkdir far/off", "echo a >far/off/file"};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        watch_begin(watch);
        watch_file(watch, "far/off/file");
        ck_assert_int_eq(system(steps[i]), 0);
        ck_assert_msg(watch_wait(watch), "%s", steps[i]);
    }
}
END_TEST

/* Changes to other files do not wake a child that waits. */
START_TEST(other_files_are_not_reported)
{
    begin_tree();
    watch_file(watch, "one.txt");
    put("course/week/one.pdf", "a sheet");
    put("course/week/.one.yaml", "an editor's own");
    put("two.txt", "another");
    ck_assert_int_eq(mkdir("other", 0777), 0);
    put("course/out/two.yaml", "no lesson");
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    pid_t child = fork();
    if (child == 0) {
        bool told = watch_wait(watch);
        ssize_t written = write(ends[1], told ? "1" : "0", 1);
        _exit(written != 1);
    }
    struct pollfd answer = {.fd = ends[0], .events = POLLIN};
    ck_assert_int_eq(poll(&answer, 1, 200), 0);
    put("one.txt", "ours");
    ck_assert_int_eq(poll(&answer, 1, 60000), 1);
    close(ends[0]);
    close(ends[1]);
    ck_assert_int_eq(waitpid(child, NULL, 0), child);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("watch");
    TCase *test = tcase_create("watch");
    tcase_add_checked_fixture(test, enter, leave);
    tcase_add_test(test, a_tree_tells_of_each_way_to_save);
    tcase_add_test(test, a_file_in_a_folder_that_is_new_is_seen_in_the_next_round);
    tcase_add_test(test, what_changes_while_a_round_is_at_work_is_not_lost);
    tcase_add_test(test, a_link_is_watched_where_it_leads);
    tcase_add_test(test, a_file_whose_folders_are_not_there_is_watched_for);
    tcase_add_test(test, other_files_are_not_reported);
    suite_add_tcase(suite, test);
    return run_suite(suite);
}
