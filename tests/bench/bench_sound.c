/*
 * Audio: bench_sound BUILD. Ten minutes of a busy groove (sixteenths on ride and snare, kick,
 * hi-hat, crash, click) played to a WAV file by `ratamark sound` as a process: its CPU time, user
 * and system, against the two-hundredth of the time that the file lasts. The median of some runs.
 */
#define _DEFAULT_SOURCE /* wait4() */

#include "measure.h"

#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { RUNS = 5, PATH_ROOM = 512, BYTES_A_SECOND = 48000 * 2 * 2, FASTER = 200 };

extern char **environ;

static char folder[] = "/tmp/ratamark-bench-XXXXXX";

static const char lesson_text[] = "title: Busy\n"
                                  "tempo: 120\n"
                                  "exercises:\n"
                                  "  - subdivision: sixteenths\n"
                                  "    sticking: RLRL\n"
                                  "    play: {R: ride, L: snare ghost}\n"
                                  "    at: {2 4: snare accent, 1: crash}\n"
                                  "    kick: 1 1a 2& 3 4e\n"
                                  "    hat-foot: each beat\n"
                                  "    bars: 4\n";

static double cpu_of(char *const *arguments)
{
    pid_t child;
    int status;
    struct rusage usage;
    if (posix_spawn(&child, arguments[0], NULL, NULL, arguments, environ) ||
        wait4(child, &status, 0, &usage) != child || !WIFEXITED(status) || WEXITSTATUS(status)) {
        fprintf(stderr, "bench_sound: '%s' failed\n", arguments[0]);
        exit(2);
    }
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

static void put_lesson(const char *path)
{
    FILE *file = fopen(path, "wb");
    if (!file || fputs(lesson_text, file) < 0 || fclose(file)) {
        perror(path);
        exit(2);
    }
}

int main(int argc, char **argv)
{
    char ratamark[PATH_ROOM], lesson[PATH_ROOM], output[PATH_ROOM];
    if (argc != 2 || !mkdtemp(folder))
        return 2;
    snprintf(ratamark, sizeof ratamark, "%s/ratamark", argv[1]);
    snprintf(lesson, sizeof lesson, "%s/busy.yaml", folder);
    snprintf(output, sizeof output, "%s/busy.wav", folder);
    put_lesson(lesson);
    char *arguments[] = {ratamark,     "sound", "--quiet", lesson, "--times",
                         (char *)"75", "-o",    output,    NULL};
    double cpu[RUNS];
    for (int i = 0; i < RUNS; i++)
        cpu[i] = cpu_of(arguments);
    struct stat file;
    double lasts = stat(output, &file) == 0 ? (double)file.st_size / BYTES_A_SECOND : 0;
    bool well = lasts > 600 &&
                measure_report("sound/real-time-200th", median_of(cpu, RUNS) * FASTER / lasts, 1);
    unlink(lesson);
    unlink(output);
    rmdir(folder);
    return !well;
}
