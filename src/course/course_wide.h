#ifndef RATAMARK_COURSE_COURSE_WIDE_H
#define RATAMARK_COURSE_COURSE_WIDE_H
/*
 * Outputs made from the whole course: the booklet and the index (COURSE_FORMATS). They come after
 * the lessons and need all of them. If a lesson failed, the older file stays: a booklet with a
 * lesson missing would look complete.
 */
#include "course/course_plan.h"

/* Makes what the options want and what is not up to date. `missing`: how many lessons could not be
   made. Puts their entries in the record and the journal, and says what was made or why not. */
enum status course_wide_make(const struct course_work *work, struct course_plan *plan,
                             struct course_record *record, size_t missing);

/* Whether an entry of the record is one of these and not a lesson's. */
bool course_wide_is(const char *name);

/* Lists on standard output what would be made. */
void course_wide_list(const struct course_work *work, struct course_plan *plan,
                      struct course_record *record, size_t missing);

#endif
