/*
 * Time per bar in lessons of about 100, 1,000 and 10,000 bars: the largest of the three over the
 * smallest.
 *
 * The same ten thousand bars are set each time: as 93 lessons, as nine, as one. All are laid out
 * before the first is freed, so that each way works in the same memory. One short lesson set again
 * and again stays in the processor's cache, and a long one does not: that is a property of the
 * machine, and of what else it does just now.
 *
 * Timed: bytes to a typed lesson, to the tree, checked, lines and pages broken, the marks of every
 * page; and, in the second figure, all of it drawn to a PDF. The faces are opened before, as their
 * cost is one of the process and not of bars.
 */
#include "engrave.h"
#include "lesson_writer.h"
#include "measure.h"

enum { RUNS = 4, SIZES = 3, UNITS = 558, MOST = 93 };

struct job {
    struct faces *faces;
    int lessons;
    struct buffer texts[MOST];
};

static void lay_out(struct engraving *engraving, struct faces *faces)
{
    (void)faces;
    for (uint32_t page = 1; page <= layout_page_count(engraving->layout); page++)
        layout_page(engraving->layout, page);
}

static void draw(struct engraving *engraving, struct faces *faces)
{
    engraving_draw(engraving, faces);
}

typedef void engraving_work(struct engraving *engraving, struct faces *faces);

static void each_lesson(struct job *job, engraving_work *work)
{
    struct engraving engravings[MOST];
    for (int i = 0; i < job->lessons; i++) {
        engraving_begin(&engravings[i], &job->texts[i], job->faces);
        work(&engravings[i], job->faces);
    }
    for (int i = 0; i < job->lessons; i++)
        engraving_end(&engravings[i]);
}

static void lay_out_all(void *closure)
{
    each_lesson(closure, lay_out);
}

static void draw_all(void *closure)
{
    each_lesson(closure, draw);
}

/* The spread of the time over the sizes, which are timed in turns. The least time of each counts.
 */
static double spread(measure_work *work, struct faces *faces)
{
    static const int lessons[SIZES] = {93, 9, 1};
    static struct job jobs[SIZES];
    double times[SIZES][RUNS], least = 0, most = 0;
    for (int i = 0; i < SIZES; i++) {
        jobs[i] = (struct job){.faces = faces, .lessons = lessons[i]};
        for (int k = 0; k < lessons[i]; k++)
            write_lesson_from(&jobs[i].texts[k], k * UNITS / lessons[i], UNITS / lessons[i]);
    }
    for (int run = 0; run < RUNS; run++)
        for (int i = 0; i < SIZES; i++)
            times[i][run] = measure_time(work, &jobs[i]);
    for (int i = 0; i < SIZES; i++) {
        double time = least_of(times[i], RUNS);
        least = i == 0 || time < least ? time : least;
        most = i == 0 || time > most ? time : most;
        for (int k = 0; k < lessons[i]; k++)
            buffer_release(&jobs[i].texts[k]);
    }
    return most / least;
}

int main(void)
{
    struct arena *arena = arena_new();
    struct faces *faces = bench_faces(diags_new(arena));
    bool well = measure_report("bar-layout-spread", spread(lay_out_all, faces), 1.2);
    well &= measure_report("bar-pdf-spread", spread(draw_all, faces), 1.2);
    faces_close(faces);
    arena_free(arena);
    return !well;
}
