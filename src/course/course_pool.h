#ifndef RATAMARK_COURSE_COURSE_POOL_H
#define RATAMARK_COURSE_COURSE_POOL_H
/*
 * Processes that make lessons. Each is forked with the fonts already open, gets lessons by their
 * numbers and sends back what it made. If one lesson crashes, takes too long or needs too much
 * memory, only that lesson fails; its process is replaced.
 *
 *     struct course_pool *pool = course_pool_open(&work, limits);
 *     while (...) {
 *         while (course_pool_room(pool) && ...) course_pool_give(pool, lesson);
 *         course_pool_wait(pool, descriptor, milliseconds);
 *         while (course_pool_take(pool, &lesson, &made)) ...
 *     }
 *     course_pool_close(pool);
 *
 * Results come in any order. The process that opens the pool must have no threads.
 */
#include "course/lesson_make.h"

struct pool_limits {
    uint32_t jobs;
    uint32_t seconds;   /* for one lesson */
    uint32_t mebibytes; /* for one lesson, on top of what a process has at its start */
};

struct course_pool;

/* `work` must outlive it. */
struct course_pool *course_pool_open(const struct course_work *work, struct pool_limits limits);
/* Kills all processes. NULL is allowed. */
void course_pool_close(struct course_pool *pool);

/* Whether a process can take a lesson now. */
bool course_pool_room(const struct course_pool *pool);
/* False if no process can be started (errno). */
bool course_pool_give(struct course_pool *pool, size_t lesson);

/* Waits for a message from a process or for `other` (a descriptor, -1: none), a lesson's time
   limit, a signal, or the end of the time. True if `other` can be read. */
bool course_pool_wait(struct course_pool *pool, int other, int milliseconds);

/* Takes a lesson that is finished, made or failed. False: none now. Release `made`. */
bool course_pool_take(struct course_pool *pool, size_t *lesson, struct made_lesson *made);

/* The number of processors that this process may use. */
uint32_t course_pool_processors(void);

#endif
