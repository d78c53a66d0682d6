#ifndef RATAMARK_BASE_CLOCK_H
#define RATAMARK_BASE_CLOCK_H
/* A clock for measuring durations: nothing sets it back. */
#include <stdint.h>
#include <time.h>

static inline int64_t milliseconds_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

#endif
