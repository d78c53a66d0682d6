#ifndef RATAMARK_APP_LESSON_RUN_H
#define RATAMARK_APP_LESSON_RUN_H
/* What the commands that show one lesson have in common: it is read, under its course file, and
   checked; only when it has no error does the command's own work begin. */
#include "app/options.h"
#include "console/report.h"
#include "console/status.h"
#include "lib/pipeline.h"

struct lesson_run {
    const struct options *options;
    struct pipeline work; /* STAGE_CHECK is over, without an error */
    struct report *report;
};

/* False, and said, where the first operand is a course file. */
bool lesson_is_named(const struct options *options);

/* Runs the lesson named by the first operand, if it is one. Errors are reported; `act` is called
   only where there are none and every exercise that --exercise names exists. */
enum status lesson_run(const struct options *options,
                       enum status (*act)(struct lesson_run *run, const void *closure),
                       const void *closure);

/* Reports what the stages found so far. To be called once by `act`, after its last stage. */
void lesson_run_report(struct lesson_run *run);

#endif
