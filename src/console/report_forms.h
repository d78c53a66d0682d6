#ifndef RATAMARK_CONSOLE_REPORT_FORMS_H
#define RATAMARK_CONSOLE_REPORT_FORMS_H
/* The forms of a report, for report.c: text (report_text.c) with its table (report_table.c), JSON
   and SARIF (report_json.c). */
#include "base/vector.h"
#include "console/report.h"

#include <jansson.h>

/* Adds a finding for people: the message, the line with a caret, help. `source` holds the line. */
void report_text_finding(struct read_source source, const struct diag *diag, bool colors,
                         struct buffer *out);
/* Adds the message and the help as one sentence. */
void report_text_sentence(const struct diag *diag, struct buffer *out);

/* A line for each exercise: its name, its sticking, when it lines up, its tempo, the limit. */
enum { TABLE_COLUMNS = 5 };
struct table_row {
    const char *file, *cells[TABLE_COLUMNS];
};
struct report_table {
    struct arena *arena; /* NULL while there is no row */
    VECTOR(struct table_row) rows;
};

void report_table_add(struct report_table *table, const char *file, const struct score *score);
/* Adds the table as text. Where it is of several files, each file's rows are headed by its name. */
void report_table_write(const struct report_table *table, struct buffer *out);
void report_table_release(struct report_table *table);

/* Empty documents of both kinds (ratamark(1), REPORTS), and what is added to them. `quiet`: errors
   only. */
json_t *report_json_new(void);
void report_json_file(json_t *document, enum reported_kind kind, const char *file,
                      const struct diags *diags, bool quiet);
void report_json_verdicts(json_t *document, const char *file, const struct score *score);
json_t *report_sarif_new(void);
/* `source` holds the text that the fixes are for. */
void report_sarif_file(json_t *document, struct read_source source, const struct diags *diags,
                       bool quiet);
/* Adds a JSON document as text. */
void report_json_write(const json_t *document, struct buffer *out);

#endif
