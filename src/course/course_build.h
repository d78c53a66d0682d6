#ifndef RATAMARK_COURSE_COURSE_BUILD_H
#define RATAMARK_COURSE_COURSE_BUILD_H
/* Makes what the plan says is to be made. What is told, and what lies in the folder at the end, is
   the same for any number of processes: lessons are settled in the course's order. */
#include "course/course_plan.h"
#include "course/course_pool.h"

struct course_result {
    size_t built, failed; /* lessons; those that the plan has blocked are not counted */
    enum status status;
    int interrupted; /* the signal; 0: none */
};

struct course_result course_build(const struct course_work *work, struct course_plan *plan,
                                  struct course_record *record, struct pool_limits limits);

#endif
