#include "console/report.h"

#include "console/report_forms.h"

#include <stdlib.h>
#include <unistd.h>

struct report {
    enum report_format format;
    enum diag_severity least; /* less severe findings are not shown */
    bool colors;
    FILE *stream;
    json_t *document;
    struct report_table table;
    size_t files, counts[3]; /* by severity */
};

struct report *report_new(struct report_options options)
{
    struct report *report = memory_alloc(sizeof *report);
    *report = (struct report){
        .format = options.format,
        .least = options.quiet   ? DIAG_SEVERITY_ERROR
                 : options.notes ? DIAG_SEVERITY_NOTE
                                 : DIAG_SEVERITY_WARNING,
        .colors = terminal_colors(STDERR_FILENO, options.color),
        .stream = stderr,
    };
    if (report->format == REPORT_JSON)
        report->document = report_json_new();
    else if (report->format == REPORT_SARIF)
        report->document = report_sarif_new();
    return report;
}

void report_to(struct report *report, FILE *stream)
{
    report->stream = stream;
}

/* ---- findings -------------------------------------------------------------------- */

/* Of the notes, those about the sheet itself and about errors or warnings that are only counted
   (`cut`) are shown with the warnings. */
static bool is_shown(const struct report *report, const struct diag *diag, bool cut)
{
    bool matters = diag->code == DIAG_PAGE_FIT || (diag->code == DIAG_LIMIT && cut);
    return diag->severity <= report->least || (matters && report->least >= DIAG_SEVERITY_WARNING);
}

/* Whether some errors or warnings are counted without being in the list. */
static bool is_cut(const struct diags *diags)
{
    size_t counts[3] = {0};
    for (size_t i = 0; i < diags_count(diags); i++)
        counts[diags_get(diags, i)->severity]++;
    return counts[DIAG_SEVERITY_ERROR] >= DIAGS_LIMIT ||
           counts[DIAG_SEVERITY_WARNING] >= DIAGS_LIMIT;
}

void report_file(struct report *report, enum reported_kind kind, struct read_source source,
                 const struct diags *diags)
{
    report->files++;
    size_t kept_errors = 0;
    struct buffer out = {0};
    bool cut = is_cut(diags);
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        kept_errors += diag->severity == DIAG_SEVERITY_ERROR;
        if (diag->severity != DIAG_SEVERITY_ERROR)
            report->counts[diag->severity]++;
        if (report->format == REPORT_TEXT && is_shown(report, diag, cut))
            report_text_finding(source, diag, report->colors, &out);
    }
    fwrite(buffer_text(&out), 1, out.length, report->stream);
    buffer_release(&out);
    size_t errors = diags_errors(diags);
    report->counts[DIAG_SEVERITY_ERROR] += errors > kept_errors ? errors : kept_errors;
    bool quiet = report->least == DIAG_SEVERITY_ERROR;
    if (report->format == REPORT_JSON)
        report_json_file(report->document, kind, source.name, diags, quiet);
    else if (report->format == REPORT_SARIF)
        report_sarif_file(report->document, source, diags, quiet);
}

void report_verdicts(struct report *report, struct read_source source, const struct score *score)
{
    if (report->format == REPORT_JSON)
        report_json_verdicts(report->document, source.name, score);
    else if (report->format == REPORT_TEXT && report->least != DIAG_SEVERITY_ERROR)
        report_table_add(&report->table, source.name, score);
}

static void sum_up(const struct report *report)
{
    size_t errors = report->counts[DIAG_SEVERITY_ERROR];
    size_t warnings = report->counts[DIAG_SEVERITY_WARNING];
    fprintf(report->stream, "%zu file%s checked: %zu error%s, %zu warning%s\n", report->files,
            plural(report->files), errors, plural(errors), warnings, plural(warnings));
}

static enum status put_document(json_t *document)
{
    struct buffer out = {0};
    report_json_write(document, &out);
    return put_result(&out);
}

static enum status put_table(struct report *report)
{
    struct buffer out = {0};
    report_table_write(&report->table, &out);
    report_table_release(&report->table);
    return out.length ? put_result(&out) : STATUS_GOOD;
}

enum status report_end(struct report *report, bool summary)
{
    enum status status = report->counts[DIAG_SEVERITY_ERROR] ? STATUS_LESSON : STATUS_GOOD;
    if (report->document)
        status = status_worse(status, put_document(report->document));
    status = status_worse(status, put_table(report));
    if (!report->document && summary && report->least != DIAG_SEVERITY_ERROR)
        sum_up(report);
    json_decref(report->document);
    memory_free(report);
    return status;
}

void report_times(const struct pipeline *work)
{
    struct buffer out = {0};
    for (int stage = 0; stage < (int)work->next; stage++)
        buffer_format(&out, "%s%s %.1f ms", stage ? ", " : "", stage_word((enum stage)stage),
                      work->seconds[stage] * 1000);
    fprintf(stderr, "ratamark: %s\n", buffer_text(&out));
    buffer_release(&out);
}
