#ifndef RATAMARK_COURSE_COURSE_POOL_H
#define RATAMARK_COURSE_COURSE_POOL_H
/*
 * Processes that make lessons. Each is forked with the fonts open and everything known, takes
 * lessons by their numbers and hands back what it made; one that crashes, runs away or eats the
 * memory takes down the lesson that it had, and is replaced.
 *
 *     struct course_pool *pool = course_pool_open(&work, limits);
 *     while (...) {
 *         while (course_pool_room(pool) && ...) course_pool_give(pool, lesson);
 *         course_pool_wait(pool, descriptor, milliseconds);
 *         while (course_pool_take(pool, &lesson, &made)) ...
 *     }
 *     course_pool_close(pool);
 *
 * Results come in no order. The process that opens it must have no threads.
 */
#include "course/lesson_make.h"

struct pool_limits {
    uint32_t jobs;
    uint32_t seconds;   /* for one lesson */
    uint32_t mebibytes; /* for one lesson, beyond what a process has at its start */
};

struct course_pool;

/* `work` must outlive it. */
struct course_pool *course_pool_open(const struct course_work *work, struct pool_limits limits);
/* Ends all processes at once, whatever they do. NULL is allowed. */
void course_pool_close(struct course_pool *pool);

/* Whether a lesson can be given now. */
bool course_pool_room(const struct course_pool *pool);
/* False where no process can be made (errno). */
bool course_pool_give(struct course_pool *pool, size_t lesson);

/* Waits until something comes from a process or from `other` (a descriptor, -1: none), a lesson's
   time is up, a signal comes, or the time is over. True where `other` has something. */
bool course_pool_wait(struct course_pool *pool, int other, int milliseconds);

/* A lesson that is done, in whichever way. False: none now. `made` is to be released. */
bool course_pool_take(struct course_pool *pool, size_t *lesson, struct made_lesson *made);

/* Processors that this process may use. */
uint32_t course_pool_processors(void);

#endif
