#ifndef RATAMARK_COURSE_COURSE_SYNCER_H
#define RATAMARK_COURSE_COURSE_SYNCER_H
/*
 * A process that waits for the disk, so that the others need not: staged files are synced in
 * batches, one batch at a time, while the next one gathers.
 *
 *     course_syncer_add(syncer, "12-0");  ...
 *     course_syncer_begin(syncer);
 *     ... once course_syncer_descriptor() has something to read ...
 *     bool synced = course_syncer_end(syncer);
 */
#include "course/course_out.h"

struct course_syncer;

/* `out` must outlive it. Where no process can be made it does the work itself. */
struct course_syncer *course_syncer_open(struct course_out *out);
void course_syncer_close(struct course_syncer *syncer);

/* A staged file of the batch that gathers. */
void course_syncer_add(struct course_syncer *syncer, const char *name);
/* Sends the batch off. */
void course_syncer_begin(struct course_syncer *syncer);
/* Becomes readable once the batch is on disk; -1: that is so at once. */
int course_syncer_descriptor(const struct course_syncer *syncer);
/* Takes the answer, waiting for it. False with errno where the disk did not take the batch. */
bool course_syncer_end(struct course_syncer *syncer);

#endif
