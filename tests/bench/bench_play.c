/*
 * Checking 10,000 bars for playability against reading them.
 *
 * In the timed part of the one: the verdict of every exercise at the lesson's own tempi and level,
 * with its findings, from the built score. In the other: bytes to a typed lesson. Memory made and
 * freed in both.
 */
#include "build/build.h"
#include "lesson_writer.h"
#include "measure.h"
#include "play/play.h"
#include "read/read.h"

#include <stdio.h>
#include <stdlib.h>

enum { RUNS = 9, BARS = 10000 };

struct job {
    struct buffer text;
    struct score *score;
};

static struct lesson *read_text(const struct job *job, struct arena *arena, struct diags *diags)
{
    struct read_source source = {"bench.yaml", job->text.bytes, job->text.length};
    return read_lesson(arena, source, NULL, diags);
}

static void read_bars(void *closure)
{
    struct arena *arena = arena_new();
    if (!read_text(closure, arena, diags_new(arena)))
        exit(2);
    arena_free(arena);
}

/* Findings and verdicts go to an arena of their own each time. */
static void play_bars(void *closure)
{
    struct job *job = closure;
    struct arena *own = job->score->arena;
    job->score->arena = arena_new();
    struct diags *diags = diags_new(job->score->arena);
    play_check(job->score, &(struct play_options){.at = 0}, diags);
    if (diags_count(diags) == 0)
        exit(2);
    arena_free(job->score->arena);
    job->score->arena = own;
}

int main(void)
{
    struct job job = {.score = NULL};
    write_lesson(&job.text, (BARS + LESSON_UNIT_BARS - 1) / LESSON_UNIT_BARS);
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    job.score = build_score(read_text(&job, arena, diags), diags);
    if (diags_errors(diags))
        exit(2);
    double ratio = measure_ratio(play_bars, read_bars, &job, RUNS);
    arena_free(arena);
    buffer_release(&job.text);
    return !measure_report("play/read-10000-bars", ratio, 2.0);
}
