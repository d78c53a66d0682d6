/*
 * Whole processes, as a shell would start them: bench_sheet BUILD.
 *
 * CPU: a sheet engraved by `ratamark engrave` against bench_minimal, which opens a PDF and sets its
 * title; user and system time of each process by wait4(). Each sheet of the example course is run
 * in turns with the other; the figure is the mean over the sheets of the medians' ratios. Memory:
 * the largest resident set of the course's sheets, and of a lesson of 100 pages, as a share of its
 * limit.
 */
#define _DEFAULT_SOURCE /* wait4() */

#include "lesson_writer.h"
#include "measure.h"

#include <glob.h>
#include <math.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define SHEETS "examples/[0-9]*.yaml"

enum { RUNS = 25, PATH_ROOM = 512 };

extern char **environ;

static char folder[] = "/tmp/ratamark-bench-XXXXXX";

/* What the process used. It must succeed. */
static struct rusage run(char *const *arguments)
{
    pid_t child;
    int status;
    struct rusage usage;
    if (posix_spawn(&child, arguments[0], NULL, NULL, arguments, environ) ||
        wait4(child, &status, 0, &usage) != child || !WIFEXITED(status) || WEXITSTATUS(status)) {
        fprintf(stderr, "bench_sheet: '%s' failed\n", arguments[0]);
        exit(2);
    }
    return usage;
}

static double seconds_of(const struct rusage *usage)
{
    return (double)(usage->ru_utime.tv_sec + usage->ru_stime.tv_sec) +
           (double)(usage->ru_utime.tv_usec + usage->ru_stime.tv_usec) / 1e6;
}

/* Linux gives the resident set in KiB. */
static double mebibytes_of(const struct rusage *usage)
{
    return (double)usage->ru_maxrss / 1024;
}

static double cpu_ratio(char *const *ours, char *const *other)
{
    double first[RUNS], second[RUNS];
    run(ours);
    run(other);
    for (int i = 0; i < RUNS; i++) {
        struct rusage one = run(ours), two = run(other);
        first[i] = seconds_of(&one);
        second[i] = seconds_of(&two);
    }
    return median_of(first, RUNS) / median_of(second, RUNS);
}

/* What the sheets of the course come to: the mean of their ratios, the largest of their memory. */
struct sheets {
    double ratio, mebibytes;
};

static struct sheets run_sheets(char *ratamark, char *minimal, char *output)
{
    glob_t found;
    struct sheets sheets = {0};
    if (glob(SHEETS, 0, NULL, &found)) {
        fprintf(stderr, "bench_sheet: no lesson is called '%s'\n", SHEETS);
        exit(2);
    }
    for (size_t i = 0; i < found.gl_pathc; i++) {
        char *ours[] = {ratamark, "engrave", "--quiet", found.gl_pathv[i], "-o", output, NULL};
        char *least[] = {minimal, output, NULL};
        struct rusage usage = run(ours);
        sheets.mebibytes = fmax(sheets.mebibytes, mebibytes_of(&usage));
        sheets.ratio += cpu_ratio(ours, least) / (double)found.gl_pathc;
    }
    globfree(&found);
    return sheets;
}

static void put_file(const char *path, const struct buffer *text)
{
    FILE *file = fopen(path, "wb");
    if (!file || fwrite(text->bytes, 1, text->length, file) != text->length || fclose(file)) {
        perror(path);
        exit(2);
    }
}

int main(int argc, char **argv)
{
    char ratamark[PATH_ROOM], minimal[PATH_ROOM], lesson[PATH_ROOM], output[PATH_ROOM];
    if (argc != 2 || !mkdtemp(folder))
        return 2;
    snprintf(ratamark, sizeof ratamark, "%s/ratamark", argv[1]);
    snprintf(minimal, sizeof minimal, "%s/bench/bench_minimal", argv[1]);
    snprintf(lesson, sizeof lesson, "%s/hundred.yaml", folder);
    snprintf(output, sizeof output, "%s/out.pdf", folder);

    char *hundred[] = {ratamark, "engrave", "--quiet", lesson, "-o", output, NULL};
    struct buffer text = {0};
    write_lesson(&text, HUNDRED_PAGES_UNITS);
    put_file(lesson, &text);
    buffer_release(&text);

    struct sheets sheets = run_sheets(ratamark, minimal, output);
    struct rusage many = run(hundred);
    bool well = measure_report("sheet/minimal-process", sheets.ratio, 1.5);
    well &= measure_report("memory-sheet/32MiB", sheets.mebibytes / 32, 1);
    well &= measure_report("memory-100-pages/64MiB", mebibytes_of(&many) / 64, 1);
    unlink(lesson);
    unlink(output);
    rmdir(folder);
    return !well;
}
