#ifndef RATAMARK_BASE_CELLS_H
#define RATAMARK_BASE_CELLS_H
/* Text for a terminal: how many cells it fills, and a copy that cannot control the terminal. */
#include "base/buffer.h"

#include <stddef.h>
#include <stdint.h>

/* Cells that a code point fills: 0 (combining marks), 1, or 2 (East Asian wide letters, emoji). */
int cells_of(uint32_t code_point);
/* Cells of a text; an invalid UTF-8 byte fills one. */
size_t cells_of_text(const char *text, size_t length);

/* Adds the text with U+FFFD for each character that could control a terminal (control characters,
   line ends, bidirectional overrides) and for each invalid byte. A tab becomes one space. Each
   character gives one, so columns stay the same. The result is valid UTF-8 on one line. */
void cells_clean(struct buffer *out, const char *text, size_t length);
/* As cells_clean(), but keeps line feeds, for text of several lines. */
void cells_clean_lines(struct buffer *out, const char *text, size_t length);

#endif
