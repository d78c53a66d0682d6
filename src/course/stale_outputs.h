#ifndef RATAMARK_COURSE_STALE_OUTPUTS_H
#define RATAMARK_COURSE_STALE_OUTPUTS_H
/* Stale outputs: files that we made once and do not make any more, because their lesson is gone or
   no longer has this page or format. They are listed, and with --prune deleted unless somebody has
   changed them. */
#include "course/course_record.h"
#include "course/lesson_make.h"

/* Lists or deletes all stale outputs in the record, and makes the record forget deleted ones.
   `whole`: the run covered the whole course, so entries that were not asked for belong to lessons
   that are gone, provided that every folder could be read. */
enum status stale_outputs_handle(const struct course_work *work, struct course_record *record,
                                 bool whole);

#endif
