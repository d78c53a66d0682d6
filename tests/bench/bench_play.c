/*
 * Checking 10,000 bars for playability against reading them: bars whose hands are written, and bars
 * whose hands have to be chosen.
 *
 * In the timed part of the one: the verdict of every exercise at the lesson's own tempos and level,
 * with its findings, from the built score; where hands are chosen, forgetting those of the time
 * before. The fastest hands, for the verdict, are sought once for each row of strokes, of which the
 * lesson has few (README.md). In the other: bytes to a typed lesson. Memory made and freed in both.
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

static size_t forget_hands(struct score *score)
{
    size_t forgotten = 0;
    for (size_t e = 0; e < score->exercise_count; e++)
        for (size_t b = 0; b < score->exercises[e].bar_count; b++) {
            const struct score_line *line = &score->exercises[e].bars[b].lines[LINE_HANDS];
            for (uint32_t i = 0; i < line->leaf_count; i++)
                if (leaf_struck(&line->leaves[i]) && line->leaves[i].note->proposed) {
                    line->leaves[i].note->proposed = 0;
                    forgotten++;
                }
        }
    return forgotten;
}

/* Findings and verdicts go to an arena of their own each time. */
static void play_bars(void *closure)
{
    struct job *job = closure;
    struct arena *own = job->score->arena;
    job->score->arena = arena_new();
    struct diags *diags = diags_new(job->score->arena);
    forget_hands(job->score);
    play_check(job->score, &(struct play_options){.at = 0}, diags);
    if (diags_count(diags) == 0)
        exit(2);
    arena_free(job->score->arena);
    job->score->arena = own;
}

static bool measure(const char *figure, struct job *job, bool chosen, double most)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    job->score = build_score(read_text(job, arena, diags), diags);
    if (diags_errors(diags))
        exit(2);
    double ratio = measure_ratio(play_bars, read_bars, job, RUNS);
    if ((forget_hands(job->score) != 0) != chosen)
        exit(2);
    arena_free(arena);
    buffer_release(&job->text);
    return measure_report(figure, ratio, most);
}

int main(void)
{
    struct job lettered = {.score = NULL}, open = {.score = NULL};
    write_lesson(&lettered.text, (BARS + LESSON_UNIT_BARS - 1) / LESSON_UNIT_BARS);
    write_open_lesson(&open.text, (BARS + LESSON_OPEN_BARS - 1) / LESSON_OPEN_BARS);
    bool good = measure("play/read-10000-bars", &lettered, false, 0.7);
    good &= measure("hands/read-10000-bars", &open, true, 1.5);
    return !good;
}
