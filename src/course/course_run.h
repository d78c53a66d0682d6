#ifndef RATAMARK_COURSE_COURSE_RUN_H
#define RATAMARK_COURSE_COURSE_RUN_H
/* One run over a course: makes what is out of date, or with --dry-run only lists it. */
#include "console/status.h"
#include "course/course_options.h"

/* Prints its messages. If a signal interrupts the run, the program ends by that signal. */
enum status course_run(const struct course_options *options);

#endif
