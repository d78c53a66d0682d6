/*
 * Time per bar at 100, 1,000 and 10,000 bars: the largest of the three over the smallest.
 *
 * Timed: bytes to a typed lesson, to the tree, checked, lines and pages broken, the marks of every
 * page; and, in the second figure, all of it drawn to a PDF. The faces are opened before, as their
 * cost is one of the process and not of bars.
 */
#include "engrave.h"
#include "lesson_writer.h"
#include "measure.h"

enum { RUNS = 5, SIZES = 3 };

struct job {
    struct faces *faces;
    struct buffer text;
    int units;
};

static void lay_out(void *closure)
{
    struct job *job = closure;
    struct engraving engraving;
    engraving_begin(&engraving, &job->text, job->faces);
    for (uint32_t page = 1; page <= layout_page_count(engraving.layout); page++)
        layout_page(engraving.layout, page);
    engraving_end(&engraving);
}

static void draw(void *closure)
{
    struct job *job = closure;
    struct engraving engraving;
    engraving_begin(&engraving, &job->text, job->faces);
    engraving_draw(&engraving, job->faces);
    engraving_end(&engraving);
}

/* The spread of the time per bar over the sizes, which are timed in turns. The least time of each
   counts: on a busy machine the long runs are disturbed more often than the short ones. */
static double spread(measure_work *work, struct faces *faces)
{
    static const int bars[SIZES] = {100, 1000, 10000};
    double times[SIZES][RUNS], least = 0, most = 0;
    struct job jobs[SIZES] = {0};
    for (int i = 0; i < SIZES; i++) {
        jobs[i].faces = faces;
        jobs[i].units = (bars[i] + LESSON_UNIT_BARS / 2) / LESSON_UNIT_BARS;
        write_lesson(&jobs[i].text, jobs[i].units);
    }
    for (int run = 0; run < RUNS; run++)
        for (int i = 0; i < SIZES; i++)
            times[i][run] = measure_median(work, &jobs[i], i == SIZES - 1 ? 1 : 10);
    for (int i = 0; i < SIZES; i++) {
        double each = least_of(times[i], RUNS) / (jobs[i].units * LESSON_UNIT_BARS);
        least = i == 0 || each < least ? each : least;
        most = i == 0 || each > most ? each : most;
        buffer_release(&jobs[i].text);
    }
    return most / least;
}

int main(void)
{
    struct arena *arena = arena_new();
    struct faces *faces = bench_faces(diags_new(arena));
    bool well = measure_report("bar-layout-spread", spread(lay_out, faces), 1.2);
    well &= measure_report("bar-pdf-spread", spread(draw, faces), 1.2);
    faces_close(faces);
    arena_free(arena);
    return !well;
}
