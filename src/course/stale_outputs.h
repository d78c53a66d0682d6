#ifndef RATAMARK_COURSE_STALE_OUTPUTS_H
#define RATAMARK_COURSE_STALE_OUTPUTS_H
/* Files that we made and that are made no more: of lessons that are gone, of pages and formats that
   a lesson does not have now. They are told of, and removed only where that is asked for and nobody
   has written to them since. */
#include "course/course_record.h"
#include "course/lesson_make.h"

/* Tells of all that the record knows, or with --prune removes it and forgets about it. `whole`: the
   record's entries that were not asked for are of lessons that are gone, if every folder of the
   course could be read. */
enum status stale_outputs_handle(const struct course_work *work, struct course_record *record,
                                 bool whole);

#endif
