/*
 * engrave_at_once COURSE LESSON...: every lesson in a thread of its own, all at the same time,
 * through include/ratamark.h, under one course file. Each has to give the same bytes as alone.
 * Built with ThreadSanitizer, which ends it with a status of its own if two threads touch the same
 * memory without order.
 */
#include "ratamark.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { THREADS_MOST = 16, TEXT_ROOM = 1 << 20 };

/* FNV-1a, 64 bits: Fowler, Noll, Vo. */
struct sum {
    uint64_t hash;
    size_t length;
};

struct job {
    struct ratamark_text text; /* its name is the path */
    const struct ratamark_text *course;
    struct sum alone, together;
    pthread_t thread;
};

static bool add(void *closure, const void *bytes, size_t length)
{
    struct sum *sum = closure;
    for (size_t i = 0; i < length; i++)
        sum->hash = (sum->hash ^ ((const unsigned char *)bytes)[i]) * UINT64_C(0x100000001b3);
    sum->length += length;
    return true;
}

static void add_text(struct sum *sum, const char *text)
{
    add(sum, text, strlen(text));
}

static void expect(enum ratamark_result result, const struct job *job, const char *what)
{
    if (result == RATAMARK_OK)
        return;
    fprintf(stderr, "%s: %s: %s\n", job->text.name, what, ratamark_result_text(result));
    exit(2);
}

static void add_findings(struct ratamark *lesson, struct sum *sum)
{
    for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++)
        add_text(sum, ratamark_diagnostic(lesson, i)->message);
    for (size_t i = 0; i < ratamark_verdict_count(lesson); i++)
        add(sum, &ratamark_verdict(lesson, i)->max_tempo, sizeof(double));
    for (size_t i = 0; i < ratamark_sticking_count(lesson); i++)
        add_text(sum, ratamark_sticking(lesson, i)->hands);
}

/* All that the library can make of the lesson. */
static struct sum engrave(const struct job *job)
{
    static const enum ratamark_format formats[] = {RATAMARK_PDF,  RATAMARK_SVG,  RATAMARK_PNG,
                                                   RATAMARK_TEXT, RATAMARK_GRID, RATAMARK_MIDI};
    struct sum sum = {UINT64_C(0xcbf29ce484222325), 0};
    struct ratamark_options *options = ratamark_options_new();
    struct ratamark *lesson = ratamark_read(&job->text, job->course);
    expect(ratamark_check(lesson), job, "check");
    expect(ratamark_stick(lesson, options), job, "stick");
    expect(ratamark_judge(lesson, options), job, "judge");
    expect(ratamark_lay_out(lesson, options), job, "lay out");
    ratamark_set_page(options, 1);
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++)
        expect(ratamark_write(lesson, formats[i], options, add, &sum), job, "write");
    add_findings(lesson, &sum);
    ratamark_free(lesson);
    ratamark_options_free(options);
    return sum;
}

static void *run(void *closure)
{
    struct job *job = closure;
    job->together = engrave(job);
    return NULL;
}

static struct ratamark_text read_file(const char *path)
{
    char *bytes = malloc(TEXT_ROOM);
    FILE *file = fopen(path, "rb");
    size_t length = bytes && file ? fread(bytes, 1, TEXT_ROOM, file) : 0;
    if (!length || fclose(file)) {
        perror(path);
        exit(2);
    }
    return (struct ratamark_text){path, bytes, length};
}

static void *count_up(void *closure)
{
    for (int i = 0; i < 1000; i++)
        ++*(int *)closure;
    return NULL;
}

static int plant(void)
{
    static int counter;
    pthread_t threads[2];
    for (int i = 0; i < 2; i++)
        if (pthread_create(&threads[i], NULL, count_up, &counter))
            return 2;
    for (int i = 0; i < 2; i++)
        pthread_join(threads[i], NULL);
    return counter > 0 ? 0 : 2;
}

/* The threads come first, so that none meets what the main thread has set up already. */
int main(int argc, char **argv)
{
    static struct job jobs[THREADS_MOST];
    int count = argc - 2, failed = 0;
    if (argc == 2 && strcmp(argv[1], "plant") == 0)
        return plant();
    if (count < 2 || count > THREADS_MOST)
        return 2;
    struct ratamark_text course = read_file(argv[1]);
    for (int i = 0; i < count; i++) {
        jobs[i].text = read_file(argv[i + 2]);
        jobs[i].course = &course;
    }
    for (int i = 0; i < count; i++)
        if (pthread_create(&jobs[i].thread, NULL, run, &jobs[i]))
            return 2;
    for (int i = 0; i < count; i++)
        pthread_join(jobs[i].thread, NULL);
    for (int i = 0; i < count; i++) {
        jobs[i].alone = engrave(&jobs[i]);
        bool same = jobs[i].alone.hash == jobs[i].together.hash &&
                    jobs[i].alone.length == jobs[i].together.length;
        if (!same)
            fprintf(stderr, "%s: other bytes than alone\n", jobs[i].text.name);
        failed += !same;
        free((void *)jobs[i].text.bytes);
    }
    free((void *)course.bytes);
    return failed > 0;
}
