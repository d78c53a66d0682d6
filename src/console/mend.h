#ifndef RATAMARK_CONSOLE_MEND_H
#define RATAMARK_CONSOLE_MEND_H
/* Corrects slips that have one sure correction: names that are close to only one known name. */
#include "base/buffer.h"
#include "diag/diag.h"
#include "read/read.h"

/* The offset of a place in the text; SIZE_MAX if it is in another file or not in the text. */
size_t source_offset(struct read_source source, struct place place);
/* The same for many places; asked for in text order, they take one pass in all. Starts as {0}. */
struct source_cursor {
    uint32_t line, column;
    size_t line_start, offset;
};
size_t source_cursor_offset(struct source_cursor *cursor, struct read_source source,
                            struct place place);
/* Whether these letters are there. */
bool source_has(struct read_source source, size_t offset, const char *letters);

/* Whether a finding can be mended in this text: `found` stands at its place, perhaps behind a
   quote. `at` becomes the place of what to replace. */
bool mend_is_sure(struct read_source source, const struct diag *diag, struct place *at);

/* Adds the text with every sure mend to `out`, and a line about each to `said`: "4:13: 'snair'
   becomes 'snare'". The findings are sorted. Returns how many there were. */
size_t mend_source(struct read_source source, const struct diags *diags, struct buffer *out,
                   struct buffer *said);

#endif
