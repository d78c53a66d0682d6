#ifndef RATAMARK_COURSE_COURSE_PROGRESS_H
#define RATAMARK_COURSE_COURSE_PROGRESS_H
/* A progress line for a terminal. It appears after one second, is redrawn in place, and disappears
   at the end. Without a terminal nothing is drawn. */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct course_progress {
    bool shown, standing; /* drawn at all; on the screen now */
    size_t lessons, done, failed;
    uint64_t cost, done_cost; /* of all lessons, in any unit; of those that are done */
    int64_t began, drawn;     /* milliseconds */
};

struct course_progress course_progress_begin(size_t lessons, uint64_t cost, bool quiet);
/* Counts one more lesson. */
void course_progress_step(struct course_progress *progress, uint64_t cost, bool failed);
/* Redraws the line if it is time to. */
void course_progress_draw(struct course_progress *progress);
/* Clears the line, so that something else can be printed. */
void course_progress_wipe(struct course_progress *progress);

/* The line itself, e.g. "412 of 1000, 2 failed  [====      ]  about 12 s left". It leaves
   the last column free, and drops the bar and then the time if the line is too long. */
struct buffer;
void course_progress_line(const struct course_progress *progress, int64_t milliseconds,
                          size_t columns, struct buffer *out);

#endif
