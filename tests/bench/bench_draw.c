/*
 * A lesson of 100 pages engraved to PDF against bare cairo that replays its marks.
 *
 * Timed of ours: everything from the lesson's bytes to the last byte of the PDF: reading, building,
 * checking, opening the faces, layout, drawing, freeing. Timed of the other: paths and rows of
 * glyphs, ready in memory in points and sorted by width, font and grey, given to cairo page by
 * page, and the closing of its PDF. Its fonts are open before.
 */
#include "engrave.h"
#include "lesson_writer.h"
#include "measure.h"
#include "replay.h"

#include <stdio.h>

enum { RUNS = 11, PAGES = 100 };

struct job {
    struct buffer text;
    struct replay *replay;
};

static void engrave(void *closure)
{
    struct job *job = closure;
    struct arena *arena = arena_new();
    struct faces *faces = bench_faces(diags_new(arena));
    struct engraving engraving;
    engraving_begin(&engraving, &job->text, faces);
    engraving_draw(&engraving, faces);
    engraving_end(&engraving);
    faces_close(faces);
    arena_free(arena);
}

static void replay(void *closure)
{
    replay_draw(((struct job *)closure)->replay);
}

/* Returns the lesson's pages. */
static uint32_t prepare(struct job *job, struct faces *faces)
{
    struct engraving engraving;
    write_lesson(&job->text, HUNDRED_PAGES_UNITS);
    engraving_begin(&engraving, &job->text, faces);
    job->replay = replay_new(faces);
    uint32_t pages = layout_page_count(engraving.layout);
    for (uint32_t page = 1; page <= pages; page++)
        replay_add(job->replay, layout_page(engraving.layout, page));
    engraving_end(&engraving);
    return pages;
}

int main(void)
{
    struct arena *arena = arena_new();
    struct faces *faces = bench_faces(diags_new(arena));
    struct job job = {0};
    uint32_t pages = prepare(&job, faces);
    if (pages < PAGES) {
        fprintf(stderr, "bench_draw: the lesson has %u pages, less than %d\n", pages, PAGES);
        return 2;
    }
    bool well =
        measure_report("engrave/replay-100-pages", measure_ratio(engrave, replay, &job, RUNS), 1.5);
    replay_free(job.replay);
    buffer_release(&job.text);
    faces_close(faces);
    arena_free(arena);
    return !well;
}
