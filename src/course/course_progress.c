#include "course/course_progress.h"

#include "base/buffer.h"
#include "base/clock.h"
#include "console/terminal.h"

#include <inttypes.h>
#include <stdio.h>
#include <unistd.h>

enum { FIRST_DRAWN = 1000, DRAWN_EACH = 100, BAR = 20 }; /* milliseconds; cells */

struct course_progress course_progress_begin(size_t lessons, uint64_t cost, bool quiet)
{
    return (struct course_progress){.shown = !quiet && terminal_can_redraw(STDERR_FILENO),
                                    .lessons = lessons,
                                    .cost = cost,
                                    .began = milliseconds_now()};
}

void course_progress_step(struct course_progress *progress, uint64_t cost, bool failed)
{
    progress->done++;
    progress->failed += failed;
    progress->done_cost += cost;
}

static void add_time(struct buffer *out, int64_t seconds)
{
    if (seconds < 90)
        buffer_format(out, "about %" PRId64 " s left", seconds);
    else if (seconds < 90 * 60)
        buffer_format(out, "about %" PRId64 " min left", (seconds + 30) / 60);
    else
        buffer_format(out, "about %" PRId64 " h left", (seconds + 1800) / 3600);
}

static void add_bar(struct buffer *out, const struct course_progress *progress)
{
    size_t full = progress->cost ? (size_t)(progress->done_cost * BAR / progress->cost) : 0;
    buffer_add_text(out, "  [");
    for (size_t i = 0; i < BAR; i++)
        buffer_add_text(out, i < full ? "=" : " ");
    buffer_add_text(out, "]");
}

static void add_rest(struct buffer *out, const struct course_progress *progress,
                     int64_t milliseconds)
{
    if (!progress->done_cost)
        return;
    double rest = (double)(progress->cost - progress->done_cost) / (double)progress->done_cost;
    buffer_add_text(out, "  ");
    add_time(out, (int64_t)(rest * (double)milliseconds / 1000 + 0.5));
}

void course_progress_line(const struct course_progress *progress, int64_t milliseconds,
                          size_t columns, struct buffer *out)
{
    struct buffer counts = {0}, bar = {0}, rest = {0};
    buffer_format(&counts, "%zu of %zu", progress->done, progress->lessons);
    if (progress->failed)
        buffer_format(&counts, ", %zu failed", progress->failed);
    add_bar(&bar, progress);
    add_rest(&rest, progress, milliseconds);
    if (counts.length >= columns)
        counts.length = columns ? columns - 1 : 0;
    buffer_add(out, counts.bytes, counts.length);
    if (counts.length + bar.length + rest.length < columns)
        buffer_add(out, bar.bytes, bar.length);
    if (counts.length + rest.length < columns)
        buffer_add_text(out, buffer_text(&rest));
    buffer_release(&counts);
    buffer_release(&bar);
    buffer_release(&rest);
}

void course_progress_draw(struct course_progress *progress)
{
    int64_t now = progress->shown ? milliseconds_now() : 0;
    if (!progress->shown || now - progress->began < FIRST_DRAWN ||
        now - progress->drawn < DRAWN_EACH)
        return;
    struct buffer line = {0};
    buffer_add_text(&line, "\r\033[K");
    course_progress_line(progress, now - progress->began, terminal_width(STDERR_FILENO), &line);
    fputs(buffer_text(&line), stderr);
    buffer_release(&line);
    progress->standing = true;
    progress->drawn = now;
}

void course_progress_wipe(struct course_progress *progress)
{
    if (progress->standing)
        fputs("\r\033[K", stderr);
    progress->standing = false;
    progress->drawn = 0;
}
