#ifndef RATAMARK_APP_LESSON_RUN_H
#define RATAMARK_APP_LESSON_RUN_H
/* What all commands for one lesson share: they read the lesson and its course file and check it.
   The command's own work only starts if there is no error. */
#include "app/options.h"
#include "console/report.h"
#include "console/status.h"
#include "lib/pipeline.h"

struct lesson_run {
    const struct options *options;
    struct pipeline work; /* past STAGE_CHECK, without an error */
    struct report *report;
};

/* False, with an error said, if the first operand is a course file. */
bool lesson_is_named(const struct options *options);

/* Runs the lesson that the first operand names and reports its errors. Calls `act` only if there
   are none and all exercises given with --exercise exist. */
enum status lesson_run(const struct options *options,
                       enum status (*act)(struct lesson_run *run, const void *closure),
                       const void *closure);

/* Finds the level that --level names, in `*limits`; NULL without the option. False, with an error
   said, if there is no such level. */
bool lesson_level(const struct options *options, const struct course_context *course,
                  const struct limits **limits);

/* Reports all findings so far. `act` calls it once, after its last stage. */
void lesson_run_report(struct lesson_run *run);

#endif
