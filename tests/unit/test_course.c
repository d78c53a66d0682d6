/* The course command's parts that can be looked at without a folder of lessons: shares, the line of
   progress, the record. */
#include "course/course_progress.h"
#include "course/course_record.h"
#include "course/course_share.h"
#include "suite.h"

#include <check.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

/* ---- shares ------------------------------------------------------------------------------- */

enum { LESSONS = 500 };

/* A tree of lessons whose sizes are spread as those of real ones are: many short, few long. */
static struct course_tree tree_of(struct arena *arena, unsigned seed)
{
    struct course_tree tree = {.arena = arena, .count = LESSONS};
    tree.lessons = arena_array(arena, LESSONS, sizeof *tree.lessons);
    for (size_t i = 0; i < LESSONS; i++) {
        seed = seed * 1103515245 + 12345;
        tree.lessons[i].name = arena_format(arena, "lesson-%03zu.yaml", i);
        tree.lessons[i].stamp.size = 500 + (seed >> 16) % 3000 * (i % 40 == 0 ? 30 : 1);
    }
    return tree;
}

/* Every lesson is in one share. No share has more than 4/3 of the best possible (R. L. Graham,
   "Bounds on Multiprocessing Timing Anomalies", 1969), of which the mean and the dearest lesson are
   lower bounds. */
START_TEST(shares_are_whole_and_even)
{
    struct arena *arena = arena_new();
    struct course_tree tree = tree_of(arena, 7);
    static const uint32_t counts[] = {1, 2, 7, 64, 1000};
    for (size_t c = 0; c < sizeof counts / sizeof *counts; c++) {
        uint64_t total = 0, most = 0, dearest = 0;
        int taken[LESSONS] = {0};
        for (uint32_t k = 1; k <= counts[c]; k++) {
            bool mine[LESSONS] = {false};
            uint64_t load = 0;
            course_share_choose(&tree, (struct course_share){k, counts[c]}, mine);
            for (size_t i = 0; i < LESSONS; i++) {
                uint64_t cost = course_cost(&tree.lessons[i]);
                taken[i] += mine[i];
                load += mine[i] ? cost : 0;
                dearest = cost > dearest ? cost : dearest;
            }
            total += load;
            most = load > most ? load : most;
        }
        for (size_t i = 0; i < LESSONS; i++)
            ck_assert_int_eq(taken[i], 1);
        uint64_t mean = total / counts[c], least = mean > dearest ? mean : dearest;
        ck_assert_uint_le(most * 3, least * 4 + 3);
    }
    arena_free(arena);
}
END_TEST

/* The order in which a machine lists the lessons says nothing. */
START_TEST(shares_do_not_depend_on_the_order)
{
    struct arena *arena = arena_new();
    struct course_tree tree = tree_of(arena, 3), other = tree_of(arena, 3);
    for (size_t i = 0; i < LESSONS; i++)
        other.lessons[i] = tree.lessons[LESSONS - 1 - i];
    bool mine[LESSONS] = {false}, theirs[LESSONS] = {false};
    course_share_choose(&tree, (struct course_share){3, 7}, mine);
    course_share_choose(&other, (struct course_share){3, 7}, theirs);
    for (size_t i = 0; i < LESSONS; i++)
        ck_assert_int_eq(mine[i], theirs[LESSONS - 1 - i]);
    arena_free(arena);
}
END_TEST

/* ---- progress ----------------------------------------------------------------------------- */

static const char *line_in(size_t columns, struct course_progress progress, int64_t milliseconds)
{
    static struct buffer line;
    line.length = 0;
    course_progress_line(&progress, milliseconds, columns, &line);
    return buffer_text(&line);
}

static const char *line_of(struct course_progress progress, int64_t milliseconds)
{
    return line_in(80, progress, milliseconds);
}

START_TEST(progress_tells_counts_and_the_time_that_is_left)
{
    struct course_progress progress = {.lessons = 1000, .cost = 4000};
    ck_assert_str_eq(line_of(progress, 0), "0 of 1000  [                    ]");
    progress.done = 400;
    progress.done_cost = 1000;
    ck_assert_str_eq(line_of(progress, 4000),
                     "400 of 1000  [=====               ]  about 12 s left");
    progress.failed = 2;
    ck_assert_str_eq(line_of(progress, 400000),
                     "400 of 1000, 2 failed  [=====               ]  about 20 min left");
    ck_assert_str_eq(line_of(progress, 4000000),
                     "400 of 1000, 2 failed  [=====               ]  about 3 h left");
}
END_TEST

/* A line that is wrapped cannot be drawn over. */
START_TEST(progress_is_narrower_than_the_terminal)
{
    struct course_progress progress = {
        .lessons = 1000, .cost = 4000, .done = 400, .done_cost = 1000, .failed = 2};
    for (size_t columns = 1; columns < 100; columns++)
        ck_assert_uint_lt(strlen(line_in(columns, progress, 4000)), columns);
    ck_assert_str_eq(line_in(63, progress, 4000),
                     "400 of 1000, 2 failed  [=====               ]  about 12 s left");
    ck_assert_str_eq(line_in(62, progress, 4000), "400 of 1000, 2 failed  about 12 s left");
    ck_assert_str_eq(line_in(39, progress, 4000), "400 of 1000, 2 failed  about 12 s left");
    ck_assert_str_eq(line_in(38, progress, 4000), "400 of 1000, 2 failed");
    ck_assert_str_eq(line_in(10, progress, 4000), "400 of 10");
}
END_TEST

/* ---- the record --------------------------------------------------------------------------- */

static char folder[] = "/tmp/ratamark-record-XXXXXX";
static int own;
static const struct course_share whole = {1, 1};

static void open_folder(void)
{
    strcpy(strrchr(folder, '-') + 1, "XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    own = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
}

static void close_folder(void)
{
    static const char *const names[] = {"record", "journal", "record.1-of-2", "record.2-of-2"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        unlinkat(own, names[i], 0);
    close(own);
    rmdir(folder);
}

static struct recorded entry_of(const char *name, const struct digest *key,
                                struct recorded_file *files, uint32_t count)
{
    struct recorded entry = {.name = name,
                             .fingerprint = key,
                             .bytes = digest_of("bytes", 5),
                             .stamp = {123, 456, -789, INT64_C(1764000000123456789)},
                             .outputs = files,
                             .count = count};
    return entry;
}

static const char odd_name[] = "week 2/\n%41 \"it's\" schl\xC3\xA4gel\x7F\xFF.yaml";

static void put(struct course_record *record, const char *name)
{
    struct digest key = digest_of(name, strlen(name));
    struct recorded_file file = {name, digest_of("out", 3), {1, 2, -3, 4}};
    struct recorded entry = entry_of(name, &key, &file, 1);
    course_record_put(record, &entry);
}

static void append(struct course_record *record, const char *name)
{
    struct digest key = digest_of(name, strlen(name));
    struct recorded_file file = {name, digest_of("out", 3), {1, 2, -3, 4}};
    struct recorded entry = entry_of(name, &key, &file, 1);
    ck_assert(course_record_append(record, &entry));
}

static void expect_entry(struct course_record *record, const char *name)
{
    const struct recorded *entry = course_record_find(record, name);
    ck_assert_ptr_nonnull(entry);
    ck_assert_str_eq(entry->name, name);
    ck_assert(digest_equal(*entry->fingerprint, digest_of(name, strlen(name))));
    ck_assert(digest_equal(entry->bytes, digest_of("bytes", 5)));
    ck_assert_uint_eq(entry->stamp.size, 123);
    ck_assert_int_eq(entry->stamp.changed, -789);
    ck_assert_int_eq(entry->stamp.touched, INT64_C(1764000000123456789));
    ck_assert_uint_eq(entry->count, 1);
    ck_assert_str_eq(entry->outputs[0].path, name);
    ck_assert_int_eq(entry->outputs[0].stamp.changed, -3);
    ck_assert_int_eq(entry->outputs[0].stamp.touched, 4);
}

START_TEST(a_record_comes_back_as_it_was_saved)
{
    struct course_record *record = course_record_load(own, whole);
    ck_assert_uint_eq(course_record_count(record), 0);
    put(record, "b.yaml");
    put(record, odd_name);
    put(record, "a.yaml");
    course_record_forget(record, "b.yaml");
    course_record_set_course(record, (struct recorded_course){"../week 2", "Harbour"});
    ck_assert(course_record_save(record, NULL, NULL));
    ck_assert(!course_record_changed(record));
    course_record_free(record);
    record = course_record_load(own, whole);
    expect_entry(record, odd_name);
    expect_entry(record, "a.yaml");
    ck_assert_ptr_null(course_record_find(record, "b.yaml"));
    ck_assert_str_eq(course_record_course(record).from, "../week 2");
    ck_assert_str_eq(course_record_course(record).title, "Harbour");
    ck_assert(!course_record_changed(record));
    ck_assert(!course_record_is_damaged(record));
    course_record_free(record);
}
END_TEST

/* Includes a name longer than one read buffer. */
START_TEST(a_record_of_another_version_is_none)
{
    static char long_name[100 * 1000];
    memset(long_name, ' ', sizeof long_name - 1); /* each three bytes in the record */
    struct course_record *record = course_record_load(own, whole);
    put(record, "a.yaml");
    put(record, long_name);
    ck_assert(course_record_save(record, NULL, NULL));
    course_record_free(record);
    record = course_record_load(own, whole);
    expect_entry(record, "a.yaml");
    expect_entry(record, long_name);
    course_record_free(record);
    int file = openat(own, "record", O_RDWR);
    ck_assert_int_eq(pwrite(file, "1", 1, 16), 1);
    close(file);
    record = course_record_load(own, whole);
    ck_assert_uint_eq(course_record_count(record), 0);
    ck_assert(!course_record_is_damaged(record));
    course_record_free(record);
}
END_TEST

static char *read_lines(int file, size_t *count)
{
    static char text[4096];
    ssize_t length = pread(file, text, sizeof text - 1, 0);
    ck_assert_int_gt(length, 0);
    text[length] = '\0';
    *count = 0;
    for (const char *at = text; (at = strchr(at, '\n')); at++)
        ++*count;
    return text;
}

static const char *line_at(const char *text, size_t number)
{
    while (number-- > 0)
        text = strchr(text, '\n') + 1;
    return text;
}

/* Every lesson in the record must be intact; if any is missing, the damage must be reported. */
static void expect_right_or_damaged(int file, const char *text, size_t length)
{
    static const char *const names[] = {"a.yaml", "b.yaml", "c.yaml"};
    ck_assert_int_eq(ftruncate(file, 0), 0);
    ck_assert_int_eq(pwrite(file, text, length, 0), (ssize_t)length);
    struct course_record *record = course_record_load(own, whole);
    size_t found = 0;
    for (size_t i = 0; i < 3; i++)
        if (course_record_find(record, names[i])) {
            expect_entry(record, names[i]);
            found++;
        }
    ck_assert(found == 3 || course_record_is_damaged(record) || found == 0);
    ck_assert_msg(course_record_is_damaged(record) || length < 18 ||
                      strncmp(text, "ratamark course 3\n", 18) != 0,
                  "the damage is not seen: %s", text);
    ck_assert(!course_record_is_damaged(record) || course_record_changed(record));
    course_record_free(record);
}

/* Drops each line, swaps each pair of lines, changes each byte, and cuts off the end. */
START_TEST(a_damaged_record_never_says_what_was_not_put_there)
{
    struct course_record *record = course_record_load(own, whole);
    put(record, "a.yaml");
    put(record, "b.yaml");
    put(record, "c.yaml");
    ck_assert(course_record_save(record, NULL, NULL));
    course_record_free(record);
    ck_assert_ptr_nonnull(freopen("/dev/null", "w", stderr)); /* hides the many damage reports */
    size_t lines;
    int file = openat(own, "record", O_RDWR);
    static char kept[4096], changed[4096];
    strcpy(kept, read_lines(file, &lines));
    const size_t length = strlen(kept);
    ck_assert_uint_eq(lines, 18);
    for (size_t i = 0; i < lines; i++)
        for (size_t j = i; j < lines; j++) {
            const char *one = line_at(kept, i), *after = line_at(kept, i + 1);
            const char *other = line_at(kept, j), *rest = line_at(kept, j + 1);
            if (i == j || strncmp(one, other, (size_t)(after - one)) == 0)
                sprintf(changed, "%.*s%s", (int)(one - kept), kept, after);
            else
                sprintf(changed, "%.*s%.*s%.*s%.*s%s", (int)(one - kept), kept, (int)(rest - other),
                        other, (int)(other - after), after, (int)(after - one), one, rest);
            expect_right_or_damaged(file, changed, strlen(changed));
        }
    for (size_t at = 18; at < length; at++) {
        strcpy(changed, kept);
        changed[at] = changed[at] == '0' ? '1' : '0';
        expect_right_or_damaged(file, changed, length);
    }
    for (size_t cut = 0; cut < length; cut++)
        expect_right_or_damaged(file, kept, cut);
    close(file);
}
END_TEST

/* For example, the process may have run out of file descriptors. */
START_TEST(a_record_that_cannot_be_read_is_not_taken_for_none)
{
    struct course_record *record = course_record_load(own, whole);
    append(record, "a.yaml");
    course_record_free(record);
    struct rlimit before, none;
    ck_assert_int_eq(getrlimit(RLIMIT_NOFILE, &before), 0);
    none = before;
    none.rlim_cur = 0;
    ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &none), 0);
    errno = 0;
    record = course_record_load(own, whole);
    int problem = errno;
    ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &before), 0);
    ck_assert_ptr_null(record);
    ck_assert_int_eq(problem, EMFILE);
}
END_TEST

/* However many bytes of the journal are there, an entry is there whole or not at all. */
START_TEST(a_journal_that_was_cut_anywhere_gives_whole_entries)
{
    struct course_record *record = course_record_load(own, whole);
    append(record, "a.yaml");
    off_t first = lseek(openat(own, "journal", O_RDONLY), 0, SEEK_END);
    append(record, odd_name);
    course_record_free(record);
    int journal = openat(own, "journal", O_RDWR);
    off_t length = lseek(journal, 0, SEEK_END);
    for (off_t cut = length; cut >= 0; cut--) {
        ck_assert_int_eq(ftruncate(journal, cut), 0);
        record = course_record_load(own, whole);
        if (cut >= first)
            expect_entry(record, "a.yaml");
        else
            ck_assert_ptr_null(course_record_find(record, "a.yaml"));
        if (cut == length)
            expect_entry(record, odd_name);
        else
            ck_assert_ptr_null(course_record_find(record, odd_name));
        course_record_free(record);
    }
    close(journal);
}
END_TEST

/* One whose bytes were changed does not count either. */
START_TEST(a_journal_with_a_wrong_byte_loses_that_entry)
{
    struct course_record *record = course_record_load(own, whole);
    append(record, "a.yaml");
    append(record, "b.yaml");
    course_record_free(record);
    int journal = openat(own, "journal", O_RDWR);
    ck_assert_int_eq(pwrite(journal, "0", 1, 60), 1);
    close(journal);
    record = course_record_load(own, whole);
    ck_assert_ptr_null(course_record_find(record, "a.yaml"));
    expect_entry(record, "b.yaml");
    ck_assert(course_record_changed(record));
    course_record_free(record);
}
END_TEST

static bool always(void *closure, const struct recorded *old, const struct recorded *new)
{
    (void)closure, (void)old, (void)new;
    return true;
}

START_TEST(shares_are_put_together)
{
    static const char *const names[] = {"a.yaml", "b.yaml"};
    for (uint32_t k = 1; k <= 2; k++) {
        struct course_record *share = course_record_load(own, (struct course_share){k, 2});
        put(share, names[k - 1]);
        ck_assert(course_record_save(share, NULL, NULL));
        course_record_free(share);
    }
    struct course_record *record = course_record_load(own, whole);
    size_t count;
    ck_assert(course_record_merge(record, always, NULL, &count));
    ck_assert_uint_eq(count, 2);
    expect_entry(record, "a.yaml");
    expect_entry(record, "b.yaml");
    course_record_drop_shares(record);
    ck_assert_int_ne(faccessat(own, "record.1-of-2", F_OK, 0), 0);
    course_record_free(record);
}
END_TEST

START_TEST(many_entries_are_found_in_any_order)
{
    struct course_record *record = course_record_load(own, whole);
    static char names[3000][32]; /* lent to the record */
    char name[32];
    for (int i = 0; i < 3000; i++) {
        snprintf(names[i], sizeof names[i], "lesson-%d.yaml", i * 7919 % 3000);
        put(record, names[i]);
    }
    ck_assert(course_record_save(record, NULL, NULL));
    course_record_free(record);
    record = course_record_load(own, whole);
    ck_assert_uint_eq(course_record_count(record), 3000);
    for (int i = 2999; i >= 0; i -= 3) {
        snprintf(name, sizeof name, "lesson-%d.yaml", i);
        expect_entry(record, name);
    }
    course_record_free(record);
}
END_TEST

int main(void)
{
    TCase *plain = tcase_create("shares");
    tcase_add_test(plain, shares_are_whole_and_even);
    tcase_add_test(plain, shares_do_not_depend_on_the_order);
    tcase_add_test(plain, progress_tells_counts_and_the_time_that_is_left);
    tcase_add_test(plain, progress_is_narrower_than_the_terminal);
    tcase_set_timeout(plain, 60);
    TCase *record = tcase_create("record");
    tcase_add_checked_fixture(record, open_folder, close_folder);
    tcase_add_test(record, a_record_comes_back_as_it_was_saved);
    tcase_add_test(record, a_record_of_another_version_is_none);
    tcase_add_test(record, a_damaged_record_never_says_what_was_not_put_there);
    tcase_add_test(record, a_record_that_cannot_be_read_is_not_taken_for_none);
    tcase_add_test(record, a_journal_that_was_cut_anywhere_gives_whole_entries);
    tcase_add_test(record, a_journal_with_a_wrong_byte_loses_that_entry);
    tcase_add_test(record, shares_are_put_together);
    tcase_add_test(record, many_entries_are_found_in_any_order);
    tcase_set_timeout(record, 60);
    Suite *suite = suite_create("course");
    suite_add_tcase(suite, plain);
    suite_add_tcase(suite, record);
    return run_suite(suite);
}
