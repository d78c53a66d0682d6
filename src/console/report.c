#include "console/report.h"

#include "base/cells.h"
#include "base/utf8.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { CONTEXT_CELLS = 96, CONTEXT_BEFORE = 64 };

struct report {
    enum report_format format;
    enum diag_severity least; /* the least severe that is told */
    bool colors;
    FILE *stream;
    json_t *document;
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

/* ---- text --------------------------------------------------------------------------------- */

static void add_clean(struct buffer *out, const char *text)
{
    cells_clean(out, text, strlen(text));
}

static const char *style(const struct report *report, const char *sequence)
{
    return report->colors ? sequence : "";
}

#define STYLE_PLAIN "\033[0m"
#define STYLE_BOLD "\033[1m"

static const char *severity_style(enum diag_severity severity)
{
    static const char *const styles[] = {
        [DIAG_SEVERITY_ERROR] = "\033[1;31m",
        [DIAG_SEVERITY_WARNING] = "\033[1;35m",
        [DIAG_SEVERITY_NOTE] = "\033[1;36m",
    };
    return styles[severity];
}

static void add_place(struct buffer *out, struct place place)
{
    add_clean(out, place.file ? place.file : "ratamark");
    if (place.line)
        buffer_format(out, ":%u:%u", place.line, place.column);
    buffer_add_text(out, ": ");
}

static void add_message(const struct report *report, struct place at, enum diag_severity severity,
                        const char *message, const char *code, struct buffer *out)
{
    buffer_add_text(out, style(report, STYLE_BOLD));
    add_place(out, at);
    buffer_format(out, "%s%s:%s ", style(report, severity_style(severity)),
                  diag_severity_word(severity), style(report, STYLE_PLAIN));
    add_clean(out, message);
    if (code)
        buffer_format(out, " [%s]", code);
    buffer_add_text(out, "\n");
}

/* The bytes of a line, counted from 1; empty where there is none. */
static struct read_source find_line(struct read_source source, uint32_t number)
{
    const char *at = source.bytes, *end = source.bytes + source.length;
    for (; number > 1 && at; number--) {
        at = memchr(at, '\n', (size_t)(end - at));
        at = at ? at + 1 : NULL;
    }
    if (!at)
        return (struct read_source){source.name, NULL, 0};
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    size_t length = (size_t)((stop ? stop : end) - at);
    if (length && at[length - 1] == '\r')
        length--;
    return (struct read_source){source.name, at, length};
}

/* Bytes of the first `characters` of a text, or of all of it. */
static size_t bytes_of(const char *text, size_t length, size_t characters)
{
    size_t at = 0;
    for (; at < length && characters; characters--) {
        uint32_t code_point;
        size_t bytes = utf8_decode(text + at, length - at, &code_point);
        at += bytes ? bytes : 1;
    }
    return at;
}

static void add_spaces(struct buffer *out, size_t count, char what)
{
    for (; count; count--)
        buffer_add(out, &what, 1);
}

/*
 * The line with a caret under the place. Of a long line a window is shown:
 *
 *     ...L R L R | R L Q R L L R...
 *                      ^
 */
static void add_context(const struct report *report, struct place at, struct read_source source,
                        struct buffer *out)
{
    struct read_source line = find_line(source, at.line);
    if (!line.bytes || !at.column)
        return;
    size_t caret = bytes_of(line.bytes, line.length, at.column - 1);
    size_t skip = 0;
    if (at.column > CONTEXT_BEFORE)
        skip = bytes_of(line.bytes, line.length, at.column - CONTEXT_BEFORE);
    size_t shown = bytes_of(line.bytes + skip, line.length - skip, CONTEXT_CELLS);
    size_t marked = bytes_of(line.bytes + caret, line.length - caret, at.length);
    if (caret + marked > skip + shown)
        marked = skip + shown - caret;
    const char *dots = skip ? "..." : "";
    buffer_format(out, "    %s", dots);
    cells_clean(out, line.bytes + skip, shown);
    buffer_add_text(out, skip + shown < line.length ? "...\n    " : "\n    ");
    struct buffer before = {0}, under = {0};
    cells_clean(&before, line.bytes + skip, caret - skip);
    cells_clean(&under, line.bytes + caret, marked);
    add_spaces(out, strlen(dots) + cells_of_text(buffer_text(&before), before.length), ' ');
    buffer_format(out, "%s^", style(report, severity_style(DIAG_SEVERITY_ERROR)));
    size_t cells = cells_of_text(buffer_text(&under), under.length);
    add_spaces(out, cells ? cells - 1 : 0, '~');
    buffer_format(out, "%s\n", style(report, STYLE_PLAIN));
    buffer_release(&before);
    buffer_release(&under);
}

/* What helps beside the message: "found 'x'; expected a voice; did you mean 'snare'?". */
static void add_help(const struct diag *diag, struct buffer *out)
{
    const char *part = "";
    if (diag->found && !strstr(diag->message, diag->found)) {
        buffer_format(out, "found '%s'", diag->found);
        part = "; ";
    }
    if (diag->expected) {
        buffer_format(out, "%sexpected %s", part, diag->expected);
        part = "; ";
    }
    if (diag->nearest)
        buffer_format(out, "%sdid you mean '%s'?", part, diag->nearest);
}

void report_sentence(const struct diag *diag, struct buffer *out)
{
    buffer_add_text(out, diag->message);
    struct buffer help = {0};
    add_help(diag, &help);
    if (help.length)
        buffer_format(out, " (%s)", buffer_text(&help));
    buffer_release(&help);
}

static void tell(const struct report *report, struct read_source source, const struct diag *diag)
{
    struct buffer out = {0};
    add_message(report, diag->at, diag->severity, diag->message, diag_word(diag->code), &out);
    if (diag->at.line && diag->at.file && strcmp(diag->at.file, source.name) == 0)
        add_context(report, diag->at, source, &out);
    struct buffer help = {0};
    add_help(diag, &help);
    if (help.length) {
        buffer_add_text(&out, "    help: ");
        add_clean(&out, buffer_text(&help));
        buffer_add_text(&out, "\n");
    }
    if (diag->other.file && diag->other_message)
        add_message(report, diag->other, DIAG_SEVERITY_NOTE, diag->other_message, NULL, &out);
    fwrite(out.bytes, 1, out.length, report->stream);
    buffer_release(&help);
    buffer_release(&out);
}

/* ---- files and the end -------------------------------------------------------------------- */

/* A note on the sheet itself is told to whoever makes it. */
static bool is_told(const struct report *report, const struct diag *diag)
{
    bool of_sheet = diag->code == DIAG_PAGE_FIT && report->least >= DIAG_SEVERITY_WARNING;
    return diag->severity <= report->least || of_sheet;
}

void report_file(struct report *report, enum reported_kind kind, struct read_source source,
                 const struct diags *diags)
{
    report->files++;
    size_t told_errors = 0;
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        told_errors += diag->severity == DIAG_SEVERITY_ERROR;
        if (diag->severity != DIAG_SEVERITY_ERROR)
            report->counts[diag->severity]++;
        if (report->format == REPORT_TEXT && is_told(report, diag))
            tell(report, source, diag);
    }
    size_t errors = diags_errors(diags);
    report->counts[DIAG_SEVERITY_ERROR] += errors > told_errors ? errors : told_errors;
    bool quiet = report->least == DIAG_SEVERITY_ERROR;
    if (report->format == REPORT_JSON)
        report_json_file(report->document, kind, source.name, diags, quiet);
    else if (report->format == REPORT_SARIF)
        report_sarif_file(report->document, diags, quiet);
}

void report_verdicts(struct report *report, struct read_source source, const struct score *score)
{
    if (report->format == REPORT_JSON)
        report_json_verdicts(report->document, source.name, score);
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
    char *text = json_dumps(document, JSON_INDENT(2) | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(12));
    struct buffer out = {0};
    buffer_add_text(&out, text ? text : "null");
    buffer_add_text(&out, "\n");
    enum status status = put_result(&out);
    buffer_release(&out);
    free(text);
    return status;
}

enum status report_end(struct report *report, bool summary)
{
    enum status status = report->counts[DIAG_SEVERITY_ERROR] ? STATUS_LESSON : STATUS_GOOD;
    if (report->document)
        status = status_worse(status, put_document(report->document));
    else if (summary && report->least != DIAG_SEVERITY_ERROR)
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
