#ifndef RATAMARK_COURSE_COURSE_BUILD_H
#define RATAMARK_COURSE_COURSE_BUILD_H
/* Makes the lessons that the plan lists. Messages and outputs are the same for any number of
   processes, because lessons are settled in the order of the course. */
#include "course/course_plan.h"
#include "course/course_pool.h"

struct course_result {
    size_t built, failed; /* lessons, without those that the plan blocked */
    enum status status;
    int interrupted; /* the signal; 0: none */
};

struct course_result course_build(const struct course_work *work, struct course_plan *plan,
                                  struct course_record *record, struct pool_limits limits);

#endif
