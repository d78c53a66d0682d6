#ifndef RATAMARK_COURSE_COURSE_PROGRESS_H
#define RATAMARK_COURSE_COURSE_PROGRESS_H
/* How far a run has come, on a terminal: one line that is drawn anew in its place, from the second
   second on, and wiped away in the end. Elsewhere nothing is drawn. */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct course_progress {
    bool shown, standing; /* wanted at all; on the screen now */
    size_t lessons, done, failed;
    uint64_t cost, done_cost; /* what all lessons cost, in whichever unit; what is done of it */
    int64_t began, drawn;     /* milliseconds */
};

struct course_progress course_progress_begin(size_t lessons, uint64_t cost, bool quiet);
/* One lesson more is done. */
void course_progress_step(struct course_progress *progress, uint64_t cost, bool failed);
/* Draws it where it is time to. */
void course_progress_draw(struct course_progress *progress);
/* Takes it off the screen, as something else is to be written there. */
void course_progress_wipe(struct course_progress *progress);

/* The line itself, e.g. "412 of 1000, 2 failed  [====      ]  about 12 s left". It leaves the last
   of the columns free, and the bar, then the time, out where they would be too long. */
struct buffer;
void course_progress_line(const struct course_progress *progress, int64_t milliseconds,
                          size_t columns, struct buffer *out);

#endif
