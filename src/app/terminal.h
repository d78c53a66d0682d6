#ifndef RATAMARK_APP_TERMINAL_H
#define RATAMARK_APP_TERMINAL_H
/* What a terminal is told: only text that cannot steer it, and how wide that text stands there. */
#include "app/options.h"
#include "base/buffer.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Cells that a code point takes: 0 (combining), 1, or 2 (East Asian wide, emoji). */
int terminal_cells(uint32_t code_point);
/* Cells of a text; a byte that is no UTF-8 takes one. */
size_t terminal_text_cells(const char *text, size_t length);

/* Adds the text with everything that could steer a terminal (control characters, bidirectional
   overrides, bytes that are no UTF-8) as U+FFFD; a tab becomes one space. One character in, one
   out, so that columns stay true. The result is valid UTF-8 on one line. */
void terminal_clean(struct buffer *out, const char *text, size_t length);

/* Columns to wrap to: COLUMNS where it is a sensible number, else the width of the terminal on
   standard output, else 80. */
size_t terminal_columns(void);
/* Columns of this terminal as it is now, however few; 80 where it does not tell. */
size_t terminal_width(int descriptor);

/* Whether what goes to the descriptor is coloured: the option, else NO_COLOR (no-color.org), TERM
   and whether it is a terminal. */
bool terminal_colors(int descriptor, enum color color);

/* An empty screen to begin on, where the descriptor is a terminal that has one. What stood there
   can still be scrolled back to. */
void terminal_clear(int descriptor);

#endif
