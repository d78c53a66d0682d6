/* Whole files in, whole files out: reading with a limit, and outputs that appear at once or not at
   all. */
#include "base/file.h"
#include "suite.h"

#include <check.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char folder[64];

static void enter_folder(void)
{
    snprintf(folder, sizeof folder, "/tmp/ratamark-test-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
}

static int files_in_folder(void)
{
    DIR *listing = opendir(".");
    ck_assert_ptr_nonnull(listing);
    int count = 0;
    for (struct dirent *entry; (entry = readdir(listing));)
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    closedir(listing);
    return count;
}

static void leave_folder(void)
{
    ck_assert_int_eq(chdir("/"), 0);
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static void put(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

static void expect_content(const char *path, const char *text)
{
    struct buffer content = {0};
    ck_assert_msg(file_read(path, 1 << 20, &content), "%s: %s", path, strerror(errno));
    ck_assert_str_eq(buffer_text(&content), text);
    buffer_release(&content);
}

START_TEST(reads_up_to_the_limit_and_no_further)
{
    put("ten", "0123456789");
    struct buffer content = {0};
    ck_assert(file_read("ten", 10, &content));
    ck_assert_uint_eq(content.length, 10);
    ck_assert(!file_read("ten", 9, &content));
    ck_assert_int_eq(errno, EFBIG);
    ck_assert(!file_read("/dev/zero", 4096, &content));
    ck_assert_int_eq(errno, EFBIG);
    buffer_release(&content);
}
END_TEST

START_TEST(tells_why_a_file_cannot_be_read)
{
    struct buffer content = {0};
    ck_assert(!file_read("absent", 10, &content));
    ck_assert_int_eq(errno, ENOENT);
    ck_assert(!file_read(".", 10, &content));
    ck_assert_int_eq(errno, EISDIR);
    buffer_release(&content);
}
END_TEST

START_TEST(reads_a_pipe)
{
    ck_assert_int_eq(mkfifo("pipe", 0600), 0);
    pid_t writer = fork();
    if (writer == 0) {
        int end = open("pipe", O_WRONLY);
        ssize_t given = write(end, "through", 7);
        _exit(given == 7 ? 0 : 1);
    }
    expect_content("pipe", "through");
    ck_assert_int_eq(waitpid(writer, NULL, 0), writer);
}
END_TEST

START_TEST(keeps_bytes_as_they_are)
{
    int end = open("nul", O_WRONLY | O_CREAT, 0600);
    ck_assert_int_eq(write(end, "a\0b\xFF", 4), 4);
    close(end);
    struct buffer content = {0};
    ck_assert(file_read("nul", 10, &content));
    ck_assert_uint_eq(content.length, 4);
    ck_assert_mem_eq(content.bytes, "a\0b\xFF", 4);
    buffer_release(&content);
}
END_TEST

START_TEST(older_file_stays_until_the_commit)
{
    put("sheet", "old");
    struct file_output *output = file_output_open("sheet");
    ck_assert_ptr_nonnull(output);
    ck_assert(file_output_write(output, "new", 3));
    expect_content("sheet", "old");
    ck_assert(file_output_commit(output));
    expect_content("sheet", "new");
    ck_assert_int_eq(files_in_folder(), 1);
}
END_TEST

START_TEST(abandoned_output_leaves_nothing)
{
    struct file_output *output = file_output_open("sheet");
    ck_assert(file_output_write(output, "half", 4));
    file_output_abandon(output);
    ck_assert_int_eq(files_in_folder(), 0);

    put("sheet", "old");
    output = file_output_open("sheet");
    file_output_abandon(output);
    expect_content("sheet", "old");
    ck_assert_int_eq(files_in_folder(), 1);
}
END_TEST

START_TEST(a_signal_can_remove_all_open_outputs)
{
    struct file_output *one = file_output_open("one"), *two = file_output_open("two");
    ck_assert_int_eq(files_in_folder(), 2);
    file_output_abandon_all();
    ck_assert_int_eq(files_in_folder(), 0);
    file_output_abandon(two);
    file_output_abandon(one);
}
END_TEST

START_TEST(several_outputs_can_be_complete_before_one_appears)
{
    struct file_output *outputs[3];
    const char *const names[] = {"a", "b", "c"};
    for (int i = 0; i < 3; i++) {
        outputs[i] = file_output_open(names[i]);
        ck_assert(file_output_write(outputs[i], names[i], 1));
        ck_assert(file_output_finish(outputs[i]));
        ck_assert(access(names[i], F_OK) != 0);
    }
    ck_assert(file_output_commit(outputs[0]));
    ck_assert(file_output_commit(outputs[1]));
    file_output_abandon(outputs[2]);
    expect_content("a", "a");
    expect_content("b", "b");
    ck_assert_int_eq(files_in_folder(), 2);
}
END_TEST

START_TEST(large_writes_arrive_whole_and_in_order)
{
    enum { LINES = 40000 };
    struct file_output *output = file_output_open("long");
    struct buffer wanted = {0};
    for (int i = 0; i < LINES; i++) {
        char line[16];
        int length = snprintf(line, sizeof line, "%d\n", i);
        ck_assert(file_output_write(output, line, (size_t)length));
        buffer_add(&wanted, line, (size_t)length);
    }
    ck_assert(file_output_write(output, wanted.bytes, wanted.length));
    ck_assert(file_output_commit(output));
    struct buffer content = {0};
    ck_assert(file_read("long", 1 << 20, &content));
    ck_assert_uint_eq(content.length, wanted.length * 2);
    ck_assert_mem_eq(content.bytes, wanted.bytes, wanted.length);
    ck_assert_mem_eq(content.bytes + wanted.length, wanted.bytes, wanted.length);
    buffer_release(&content);
    buffer_release(&wanted);
}
END_TEST

START_TEST(a_full_disk_is_told_at_the_commit)
{
    /* /dev/full refuses every byte (full(4)). */
    struct file_output *output = file_output_open("/dev/full");
    ck_assert_ptr_nonnull(output);
    file_output_write(output, "lost", 4);
    ck_assert(!file_output_commit(output));
    ck_assert_int_eq(errno, ENOSPC);
}
END_TEST

START_TEST(a_device_is_written_not_replaced)
{
    struct file_output *output = file_output_open("/dev/null");
    ck_assert_ptr_nonnull(output);
    ck_assert(file_output_write(output, "x", 1));
    ck_assert(file_output_commit(output));
    struct stat status;
    ck_assert_int_eq(stat("/dev/null", &status), 0);
    ck_assert(S_ISCHR(status.st_mode));
}
END_TEST

START_TEST(a_link_stays_a_link)
{
    put("real", "old");
    ck_assert_int_eq(symlink("real", "link"), 0);
    struct file_output *output = file_output_open("link");
    ck_assert(file_output_write(output, "new", 3));
    ck_assert(file_output_commit(output));
    struct stat status;
    ck_assert_int_eq(lstat("link", &status), 0);
    ck_assert(S_ISLNK(status.st_mode));
    expect_content("real", "new");
}
END_TEST

START_TEST(permissions_are_kept_or_follow_the_mask)
{
    put("old", "x");
    ck_assert_int_eq(chmod("old", 0640), 0);
    umask(027);
    struct file_output *over = file_output_open("old"), *fresh = file_output_open("fresh");
    ck_assert(file_output_commit(over));
    ck_assert(file_output_commit(fresh));
    struct stat status;
    ck_assert_int_eq(stat("old", &status), 0);
    ck_assert_int_eq(status.st_mode & 0777, 0640);
    ck_assert_int_eq(stat("fresh", &status), 0);
    ck_assert_int_eq(status.st_mode & 0777, 0640);
}
END_TEST

START_TEST(no_place_no_output)
{
    ck_assert_ptr_null(file_output_open("absent/sheet"));
    ck_assert_int_eq(errno, ENOENT);
    ck_assert_ptr_null(file_output_open("."));
    ck_assert_int_eq(errno, EISDIR);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("file");
    TCase *tests = tcase_create("file");
    tcase_add_checked_fixture(tests, enter_folder, leave_folder);
    tcase_add_test(tests, reads_up_to_the_limit_and_no_further);
    tcase_add_test(tests, tells_why_a_file_cannot_be_read);
    tcase_add_test(tests, reads_a_pipe);
    tcase_add_test(tests, keeps_bytes_as_they_are);
    tcase_add_test(tests, older_file_stays_until_the_commit);
    tcase_add_test(tests, abandoned_output_leaves_nothing);
    tcase_add_test(tests, a_signal_can_remove_all_open_outputs);
    tcase_add_test(tests, several_outputs_can_be_complete_before_one_appears);
    tcase_add_test(tests, large_writes_arrive_whole_and_in_order);
    tcase_add_test(tests, a_full_disk_is_told_at_the_commit);
    tcase_add_test(tests, a_device_is_written_not_replaced);
    tcase_add_test(tests, a_link_stays_a_link);
    tcase_add_test(tests, permissions_are_kept_or_follow_the_mask);
    tcase_add_test(tests, no_place_no_output);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
