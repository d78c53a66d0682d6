#ifndef RATAMARK_CONSOLE_TERMINAL_H
#define RATAMARK_CONSOLE_TERMINAL_H
/* The terminal behind a descriptor: its width, its colours, clearing the screen. */
#include <stdbool.h>
#include <stddef.h>

enum color { COLOR_AUTO, COLOR_ALWAYS, COLOR_NEVER };

/* Columns to wrap to: the variable COLUMNS if it is a sensible number, otherwise the width of the
   terminal on standard output, otherwise 80. */
size_t terminal_columns(void);
/* The current width of this terminal, however small; 80 if unknown. */
size_t terminal_width(int descriptor);

/* Whether the descriptor is a terminal that understands escape sequences. */
bool terminal_can_redraw(int descriptor);

/* Whether to colour what goes to the descriptor: the option decides; with COLOR_AUTO, NO_COLOR
   (no-color.org), TERM and whether it is a terminal. */
bool terminal_colors(int descriptor, enum color color);

/* Clears the screen if the descriptor is a terminal. Scrolling back still shows what was there. */
void terminal_clear(int descriptor);

#endif
