#ifndef RATAMARK_CONSOLE_REPORT_H
#define RATAMARK_CONSOLE_REPORT_H
/*
 * Findings, told to people (text) and to programs (JSON, SARIF).
 *
 *     struct report *report = report_new(options);
 *     report_file(report, "lesson.yaml", REPORT_LESSON, source, work.diags);
 *     enum status status = report_end(report);
 *
 * Text goes to standard error as it comes; JSON and SARIF are one document on standard output,
 * written by report_end().
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
    bool notes; /* notes, too; else the least that is reported is a warning */
};

enum reported_kind { REPORTED_LESSON, REPORTED_COURSE };

struct report;

struct report *report_new(struct report_options options);

/* Sends a text report to a stream instead of standard error, which still says whether there are
   colours. */
void report_to(struct report *report, FILE *stream);

/* Tells what was found in a file, and counts it. `source` gives the lines to show; its bytes may be
   NULL. */
void report_file(struct report *report, enum reported_kind kind, struct read_source source,
                 const struct diags *diags);

/* Adds what a judged score's exercises can be played at, to JSON alone: text has it as findings. */
void report_verdicts(struct report *report, struct read_source source, const struct score *score);

/* Ends the document, or sums up a text report where `summary`; frees the report. The status is
   STATUS_LESSON where any file had an error. */
enum status report_end(struct report *report, bool summary);

/* One line on standard error: the processor time of each stage that ran (--verbose). */
void report_times(const struct pipeline *work);

/* ---- for the writers of its forms --------------------------------------------------------- */

/* One finding in words, e.g. for SARIF: the message and what else helps. */
void report_sentence(const struct diag *diag, struct buffer *out);

struct json_t;
/* One document of each standard form; see ratamark(1), REPORTS. */
struct json_t *report_json_new(void);
void report_json_file(struct json_t *document, enum reported_kind kind, const char *file,
                      const struct diags *diags, bool quiet);
void report_json_verdicts(struct json_t *document, const char *file, const struct score *score);
struct json_t *report_sarif_new(void);
void report_sarif_file(struct json_t *document, const struct diags *diags, bool quiet);

#endif
