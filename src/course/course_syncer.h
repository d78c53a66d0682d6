#ifndef RATAMARK_COURSE_COURSE_SYNCER_H
#define RATAMARK_COURSE_COURSE_SYNCER_H
/*
 * A process that waits for the disk so that the others do not have to. Staged files are synced in
 * batches, one at a time, while the next batch fills.
 *
 *     course_syncer_add(syncer, "12-0");  ...
 *     course_syncer_begin(syncer);
 *     ... once course_syncer_descriptor() has something to read ...
 *     bool synced = course_syncer_end(syncer);
 */
#include "course/course_out.h"

struct course_syncer;

/* `out` must outlive it. If no process can be started, the caller does the waiting. */
struct course_syncer *course_syncer_open(struct course_out *out);
void course_syncer_close(struct course_syncer *syncer);

/* Adds a staged file to the next batch. */
void course_syncer_add(struct course_syncer *syncer, const char *name);
/* Starts to sync the batch. */
void course_syncer_begin(struct course_syncer *syncer);
/* Becomes readable when the batch is on disk; -1: it already is. */
int course_syncer_descriptor(const struct course_syncer *syncer);
/* Waits for the result. False with errno if the disk did not accept the batch. */
bool course_syncer_end(struct course_syncer *syncer);

#endif
