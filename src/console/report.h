#ifndef RATAMARK_CONSOLE_REPORT_H
#define RATAMARK_CONSOLE_REPORT_H
/*
 * Reports findings to people (text) or to programs (JSON, SARIF).
 *
 *     struct report *report = report_new(options);
 *     report_file(report, REPORTED_LESSON, source, work.diags);
 *     enum status status = report_end(report, true);
 *
 * Text goes to standard error at once; JSON and SARIF are one document on standard output, written
 * by report_end().
 */
#include "console/status.h"
#include "console/terminal.h"
#include "diag/diag.h"
#include "lib/pipeline.h"

#include <stdio.h>

enum report_format { REPORT_TEXT, REPORT_JSON, REPORT_SARIF };

struct report_options {
    enum report_format format;
    enum color color;
    bool quiet; /* errors only */
    bool notes; /* notes as well as warnings and errors */
};

enum reported_kind { REPORTED_LESSON, REPORTED_COURSE };

struct report;

struct report *report_new(struct report_options options);

/* Sends a text report to another stream. Standard error still decides about colours. */
void report_to(struct report *report, FILE *stream);

/* Reports and counts the findings of a file. `source` holds the lines to show; its bytes may be
   NULL. */
void report_file(struct report *report, enum reported_kind kind, struct read_source source,
                 const struct diags *diags);

/* Adds the exercises of a judged score: to JSON their highest tempos, to text the table on standard
   output that report_end() writes. */
void report_verdicts(struct report *report, struct read_source source, const struct score *score);

/* Writes the document or the table, then with `summary` the last line of a text report; frees the
   report. The status is STATUS_LESSON if any file had an error. */
enum status report_end(struct report *report, bool summary);

/* For --verbose: the processor time of each stage that ran, on one line of standard error. */
void report_times(const struct pipeline *work);

#endif
