#ifndef RATAMARK_CONSOLE_TERMINAL_H
#define RATAMARK_CONSOLE_TERMINAL_H
/* The terminal on a descriptor: its width, whether it has colours, an empty screen. */
#include <stdbool.h>
#include <stddef.h>

enum color { COLOR_AUTO, COLOR_ALWAYS, COLOR_NEVER };

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
