#ifndef RATAMARK_COURSE_COURSE_RUN_H
#define RATAMARK_COURSE_COURSE_RUN_H
/* One run over a course: builds what is out of date, or only says what it would build. */
#include "console/status.h"
#include "course/course_options.h"

/* Reports as it goes. A run that a signal interrupts ends with that signal. */
enum status course_run(const struct course_options *options);

#endif
