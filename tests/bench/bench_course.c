/*
 * A course as a whole: bench_course BUILD.
 *
 * A thousand lessons of two pages are made with one process and with two (the time that passes),
 * and their CPU a page, all processes together, is held against that of one lesson of a hundred
 * pages, whose process and fonts are paid once. Then, with nothing to do, the CPU of a run against
 * that of a process that walks the same folders and stats the same files. Memory: the largest
 * resident set of any process for 10,000 short lessons against that for 100; of a booklet of a
 * thousand pages against one of a hundred.
 *
 * All of it lies in memory (/dev/shm) where that has room, and each run that makes something fills
 * a folder of its own. On ext4 the figures would tell what was deleted on the machine before: while
 * it looks for a new inode it passes over all that were freed within the last minutes, one by one
 * (README.md has the figures of a disk).
 */
#define _DEFAULT_SOURCE /* wait4() */

#include "lesson_writer.h"
#include "measure.h"

#include <math.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { LESSONS = 1000, IN_A_FOLDER = 50, RUNS = 11, ROUNDS = 5, PATH_ROOM = 512 };
enum { ROOM_MIB = 1024 };

extern char **environ;

static const char in_memory[] = "/dev/shm", on_disk[] = "/tmp";
static char folder[64], ratamark[PATH_ROOM], walker[PATH_ROOM];

/* ---- lessons ------------------------------------------------------------------------------ */

/* The long lesson says the same in each of its parts; lessons of a course do not. Each "the"
   becomes another word, so that lines are set again in both. */
static void vary_words(struct buffer *text, unsigned seed)
{
    static const char *const words[] = {"the", "our", "any", "one", "her", "his", "its", "two"};
    for (char *at = text->bytes; (at = strstr(at, " the ")); at += 4) {
        seed = seed * 1103515245 + 12345;
        memcpy(at + 1, words[seed >> 16 & 7], 3);
    }
}

static void put_file(const char *path, const struct buffer *text)
{
    FILE *file = fopen(path, "wb");
    if (!file || fwrite(text->bytes, 1, text->length, file) != text->length || fclose(file)) {
        perror(path);
        exit(2);
    }
}

static void put_short(struct buffer *text, int number)
{
    buffer_format(text,
                  "title: Lesson %d\nexercises:\n"
                  "  - {title: Even strokes, subdivision: sixteenths, sticking: RLRR LRLL}\n",
                  number);
}

/* A folder of so many lessons, below `folder`. */
static void put_course(const char *name, int lessons, bool brief)
{
    char path[PATH_ROOM];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    mkdir(path, 0777);
    for (int i = 0; i < lessons; i++) {
        struct buffer text = {0};
        snprintf(path, sizeof path, "%s/%s/week-%03d", folder, name, i / IN_A_FOLDER);
        mkdir(path, 0777);
        snprintf(path, sizeof path, "%s/%s/week-%03d/lesson-%05d.yaml", folder, name,
                 i / IN_A_FOLDER, i);
        if (brief)
            put_short(&text, i);
        else
            write_lesson(&text, 1);
        vary_words(&text, (unsigned)i);
        put_file(path, &text);
        buffer_release(&text);
    }
}

static void put_long(const char *path)
{
    struct buffer text = {0};
    write_lesson(&text, HUNDRED_PAGES_UNITS);
    vary_words(&text, 1);
    put_file(path, &text);
    buffer_release(&text);
}

/* ---- runs --------------------------------------------------------------------------------- */

struct run {
    double cpu, passed; /* seconds: of all its processes; that went by */
    double mebibytes;   /* of its largest process */
};

static double now(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + (double)time.tv_nsec / 1e9;
}

static double seconds_of(const struct rusage *usage)
{
    return (double)(usage->ru_utime.tv_sec + usage->ru_stime.tv_sec) +
           (double)(usage->ru_utime.tv_usec + usage->ru_stime.tv_usec) / 1e6;
}

/* It must succeed. Linux gives the resident set in KiB. */
static struct run run(char *const *arguments)
{
    pid_t child;
    int status;
    struct rusage usage;
    double began = now();
    if (posix_spawn(&child, arguments[0], NULL, NULL, arguments, environ) ||
        wait4(child, &status, 0, &usage) != child || !WIFEXITED(status) || WEXITSTATUS(status)) {
        fprintf(stderr, "bench_course: '%s %s' failed\n", arguments[0], arguments[1]);
        exit(2);
    }
    return (struct run){seconds_of(&usage), now() - began, (double)usage.ru_maxrss / 1024};
}

static struct run make(const char *name, const char *out, char *jobs, char *more)
{
    char course[PATH_ROOM], output[PATH_ROOM];
    snprintf(course, sizeof course, "%s/%s", folder, name);
    snprintf(output, sizeof output, "%s/%s", folder, out);
    char *arguments[] = {ratamark, "course", "--quiet", "--jobs", jobs,
                         course,   "-o",     output,    more,     NULL};
    return run(arguments);
}

/* Pages of a PDF as cairo writes it: "/Type /Pages ... /Count N". */
static int pages_of(const char *path)
{
    struct buffer text = {0};
    char piece[64 * 1024];
    FILE *file = fopen(path, "rb");
    if (!file) {
        perror(path);
        exit(2);
    }
    for (size_t got; (got = fread(piece, 1, sizeof piece, file));)
        buffer_add(&text, piece, got);
    fclose(file);
    int pages = 0;
    for (size_t i = 0; i + 12 < text.length && !pages; i++) {
        if (memcmp(text.bytes + i, "/Type /Pages", 12) != 0)
            continue;
        const char *count = strstr(text.bytes + i, "/Count ");
        pages = count ? atoi(count + 7) : 0;
    }
    buffer_release(&text);
    if (!pages) {
        fprintf(stderr, "bench_course: no pages in '%s'\n", path);
        exit(2);
    }
    return pages;
}

static int pages_of_course(const char *out)
{
    int pages = 0;
    for (int i = 0; i < LESSONS; i++) {
        char path[PATH_ROOM];
        snprintf(path, sizeof path, "%s/%s/week-%03d/lesson-%05d.pdf", folder, out, i / IN_A_FOLDER,
                 i);
        pages += pages_of(path);
    }
    return pages;
}

/* ---- figures ------------------------------------------------------------------------------ */

static bool bench_making(void)
{
    char lesson[PATH_ROOM], sheet[PATH_ROOM];
    double shares[ROUNDS], costs[ROUNDS];
    snprintf(lesson, sizeof lesson, "%s/long.yaml", folder);
    snprintf(sheet, sizeof sheet, "%s/long.pdf", folder);
    char *engrave[] = {ratamark, "engrave", "--quiet", lesson, "-o", sheet, NULL};
    put_course("lessons", LESSONS, false);
    put_long(lesson);
    make("lessons", "out", "2", NULL);
    int pages = pages_of_course("out");
    for (int i = 0; i < ROUNDS; i++) {
        char with_one[PATH_ROOM], with_two[PATH_ROOM];
        snprintf(with_one, sizeof with_one, "one-%d", i);
        snprintf(with_two, sizeof with_two, "two-%d", i);
        struct run one = make("lessons", with_one, "1", NULL);
        struct run two = make("lessons", with_two, "2", NULL);
        double longs[RUNS];
        for (int k = 0; k < RUNS; k++)
            longs[k] = run(engrave).cpu;
        double page_of_long = median_of(longs, RUNS) / pages_of(sheet);
        shares[i] = two.passed / one.passed;
        costs[i] = one.cpu / pages / page_of_long;
    }
    bool well = measure_report("course-2-jobs/1-job", median_of(shares, ROUNDS), 1 / 1.85);
    well &= measure_report("course-page/long-page", median_of(costs, ROUNDS), 1.3);
    return well;
}

/* Once more when the files are old enough for their stamps to be trusted. */
static bool bench_nothing(void)
{
    char course[PATH_ROOM], out[PATH_ROOM];
    double ours[RUNS], walks[RUNS];
    snprintf(course, sizeof course, "%s/lessons", folder);
    snprintf(out, sizeof out, "%s/out", folder);
    char *walk[] = {walker, course, out, NULL};
    sleep(3);
    make("lessons", "out", "1", NULL);
    for (int i = 0; i < RUNS; i++) {
        ours[i] = make("lessons", "out", "1", NULL).cpu;
        walks[i] = run(walk).cpu;
    }
    return measure_report("course-nothing/walk", median_of(ours, RUNS) / median_of(walks, RUNS), 3);
}

static bool bench_memory(void)
{
    put_course("few", 100, true);
    put_course("many", 10000, true);
    struct run few = make("few", "out-few", "2", NULL), many = make("many", "out-many", "2", NULL);
    return measure_report("course-memory-10000/100", many.mebibytes / few.mebibytes, 1.5) &
           measure_report("course-memory-10000/32MiB", many.mebibytes / 32, 1);
}

/* The process that draws a booklet: its lessons' own processes are small. */
static bool bench_booklet(void)
{
    put_course("thin", 50, false);
    put_course("thick", 500, false);
    struct run thin = make("thin", "out-thin", "1", "--booklet");
    struct run thick = make("thick", "out-thick", "1", "--booklet");
    char path[PATH_ROOM];
    snprintf(path, sizeof path, "%s/out-thick/booklet.pdf", folder);
    if (pages_of(path) < 1000)
        return false;
    return measure_report("booklet-memory-1000/100-pages", thick.mebibytes / thin.mebibytes, 1.5) &
           measure_report("booklet-memory-1000-pages/64MiB", thick.mebibytes / 64, 1);
}

static bool make_folder(void)
{
    struct statvfs room;
    bool roomy = statvfs(in_memory, &room) == 0 &&
                 room.f_bavail * room.f_frsize >= (fsblkcnt_t)ROOM_MIB << 20;
    snprintf(folder, sizeof folder, "%s/ratamark-bench-XXXXXX", roomy ? in_memory : on_disk);
    return mkdtemp(folder) != NULL;
}

int main(int argc, char **argv)
{
    if (argc != 2 || !make_folder())
        return 2;
    snprintf(ratamark, sizeof ratamark, "%s/ratamark", argv[1]);
    snprintf(walker, sizeof walker, "%s/bench/bench_walk", argv[1]);
    bool well = bench_making();
    well &= bench_nothing();
    well &= bench_memory();
    well &= bench_booklet();
    char *clear[] = {"/bin/rm", "-r", folder, NULL};
    run(clear);
    return !well;
}
