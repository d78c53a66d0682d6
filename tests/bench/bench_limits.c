/*
 * Lessons at their limits: bench_limits BUILD. Each is a file of at most 1 MiB that asks for as
 * much of one thing as a lesson may have, or for more, which is refused. Every command gets it, as
 * a process: its CPU time, user and system, against `ratamark check` of a plain lesson of 1 MiB,
 * and its largest resident set. The worst of all counts; what exceeds a limit is named.
 */
#define _DEFAULT_SOURCE /* wait4() */

#include "lesson_writer.h"
#include "measure.h"

#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { RUNS = 5, PATH_ROOM = 512, MEMORY_KIB = 256 * 1024, MIB = 1024 * 1024 };
#define TIMES 90.0 /* as long as the plain lesson */

extern char **environ;

static char folder[] = "/tmp/ratamark-bench-XXXXXX";
static char ratamark[PATH_ROOM], lesson[PATH_ROOM], output[PATH_ROOM];

/* `head`, `each` as often as it fits or `count` says, then `tail`. */
static const struct limit_case {
    const char *name, *head, *each;
    int count; /* 0: as much as fits into 1 MiB */
    const char *tail;
} cases[] = {
    {"stick-bars", "rhythm: 16*16\n    sticking: auto\n    bars: 16384\n", "", 1, ""},
    {"grid-by-count", "time: 64/4\n    hi-hat: eighths\n    bars: 2000\n", "", 1, ""},
    {"rests-by-count", "time: 64/4\n    hi-hat: eighths\n    bars: [{}, {rest: 999, times: 16}]\n",
     "", 1, ""},
    {"accents-each", "subdivision: sixteenths\n    sticking: RL\n    bars: 4\n    accents: ",
     "each 1 strokes ", 20000, "\n"},
    {"accents-by-bar",
     "subdivision: quarters\n    sticking: RL\n    bars: 16384\n    accents: ", "9999:1 ", 0, "\n"},
    {"counts-again", "subdivision: quarters\n    bars: 16384\n    kick: ", "1 ", 0, "\n"},
    {"counts-clash", "subdivision: quarters\n    kick accent: 1\n    kick ghost: ", "1 ", 0, "\n"},
    {"counts-in-a-bar", "time: 64/4\n    hi-hat: ", "eighths ", 0, "\n"},
    {"changes-by-bar", "subdivision: quarters\n    sticking: RL\n    bars: 16384\n    at: {",
     "9999:1: crash, ", 0, "1: crash}\n"},
    {"letters", "subdivision: sixteenths\n    sticking: ", "?", 262144, "\n"},
    {"graces", "rhythm: 8*8\n    sticking: lR rL llR rrL lR rL lR rL\n    bars: 16384\n", "", 1,
     ""},
    {"bars", "subdivision: sixteenths\n    sticking: RL\n    bars: 16384\n", "", 1, ""},
    {"lists-of-bars", "subdivision: eighths\n    sticking: RL\n    bars:\n",
     "      - {accents: 1, ghosts: 2, kick: 3}\n", 16384, ""},
    {"steps", "sticking: RL\n    id: a\n  - sequence: ", "a ", 0, "\n"},
    {"forms", "rhythm: 4*4\n    id: a\n", "  - sequence: a*99 a*99\n", 4095, ""},
    {"text", "rhythm: 4*4\n    text: ", "word ", 0, "\n"},
    {"title", "rhythm: 4*4\n    title: ", "word ", 0, "\n"},
};

static const struct command {
    const char *word;
    const char *output; /* NULL: none */
} commands[] = {{"check", NULL},        {"stick", NULL},        {"grid", NULL},
                {"engrave", "out.pdf"}, {"engrave", "out.txt"}, {"sound", "out.mid"}};

static void write_case(const struct limit_case *limit, struct buffer *out)
{
    buffer_format(out, "title: At the limit\nexercises:\n  - %s", limit->head);
    size_t most = MIB - strlen(limit->tail) - strlen(limit->each);
    for (int i = 0; (limit->count == 0 || i < limit->count) && out->length < most; i++)
        buffer_add_text(out, limit->each);
    buffer_add_text(out, limit->tail);
}

static void put(const struct buffer *text)
{
    FILE *file = fopen(lesson, "wb");
    if (!file || fwrite(text->bytes, 1, text->length, file) != text->length || fclose(file)) {
        perror(lesson);
        exit(2);
    }
}

/* Returns CPU seconds and sets the largest resident set. A refused lesson is fine; a crash is not.
 */
static double run(const struct command *command, long *kib)
{
    pid_t child;
    int status;
    struct rusage usage;
    snprintf(output, sizeof output, "%s/%s", folder, command->output ? command->output : "none");
    char *arguments[] = {ratamark,
                         (char *)command->word,
                         (char *)"--quiet",
                         lesson,
                         command->output ? (char *)"-o" : NULL,
                         output,
                         NULL};
    posix_spawn_file_actions_t quiet;
    posix_spawn_file_actions_init(&quiet);
    posix_spawn_file_actions_addopen(&quiet, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&quiet, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    int problem = posix_spawn(&child, ratamark, &quiet, NULL, arguments, environ);
    posix_spawn_file_actions_destroy(&quiet);
    if (problem || wait4(child, &status, 0, &usage) != child || !WIFEXITED(status) ||
        WEXITSTATUS(status) > 1) {
        fprintf(stderr, "bench_limits: '%s' failed\n", command->word);
        exit(2);
    }
    unlink(output);
    *kib = usage.ru_maxrss;
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

/* Takes the fastest of several runs, as a busy machine slows long ones more; a short one runs once.
 */
static double least_time(const struct command *command, double plain, long *kib)
{
    double least = run(command, kib);
    for (int i = 1; i < RUNS && least > plain * TIMES / 2; i++) {
        double again = run(command, kib);
        least = again < least ? again : least;
    }
    return least;
}

static double plain_time(void)
{
    struct buffer text = {0};
    double cpu[RUNS];
    long kib;
    write_lesson_of(&text, MIB);
    put(&text);
    buffer_release(&text);
    for (int i = 0; i < RUNS; i++)
        cpu[i] = run(&commands[0], &kib);
    return least_of(cpu, RUNS);
}

int main(int argc, char **argv)
{
    if (argc != 2 || !mkdtemp(folder))
        return 2;
    snprintf(ratamark, sizeof ratamark, "%s/ratamark", argv[1]);
    snprintf(lesson, sizeof lesson, "%s/limit.yaml", folder);
    double plain = plain_time(), times = 0, memory = 0;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct buffer text = {0};
        write_case(&cases[i], &text);
        put(&text);
        buffer_release(&text);
        for (size_t c = 0; c < sizeof commands / sizeof *commands; c++) {
            long kib;
            double taken = least_time(&commands[c], plain, &kib) / plain;
            double share = (double)kib / MEMORY_KIB;
            if (taken > TIMES || share > 1)
                fprintf(stderr, "%s of %s: %.1f times the plain lesson, %ld KiB\n",
                        commands[c].word, cases[i].name, taken, kib);
            times = taken > times ? taken : times;
            memory = share > memory ? share : memory;
        }
    }
    unlink(lesson);
    rmdir(folder);
    bool well = measure_report("limits/check-1MiB", times, TIMES);
    return !(measure_report("limits-memory/256MiB", memory, 1) && well);
}
