#ifndef RATAMARK_COURSE_COURSE_WHOLE_H
#define RATAMARK_COURSE_COURSE_WHOLE_H
/*
 * What is made of a course as a whole: the booklet and the index. They come after the lessons, from
 * all of them or not at all: where a lesson failed, what was made before stays, as a booklet with a
 * hole would look complete.
 */
#include "course/course_plan.h"

/* Makes those that the options ask for and that are not up to date. `missing`: lessons that are not
   made. Their entries in the record are put, and the journal's. What was made, or why not, is said.
 */
enum status course_whole_make(const struct course_work *work, struct course_plan *plan,
                              struct course_record *record, size_t missing);

/* Whether an entry of the record is one of these, and no lesson's. */
bool course_whole_is(const char *name);

/* Tells on standard output what would be made. */
void course_whole_tell(const struct course_work *work, struct course_plan *plan,
                       struct course_record *record, size_t missing);

#endif
