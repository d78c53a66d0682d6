#ifndef RATAMARK_LAYOUT_SYSTEM_H
#define RATAMARK_LAYOUT_SYSTEM_H
/* The lines of an exercise: broken, set to the margin and drawn as systems of the page. */
#include "layout/sheet.h"
#include "layout/work.h"

/* As the breaking left it. */
struct music_line {
    uint32_t exercise, first_bar, bar_count;
    float stretch; /* ragged lines: the springs' stretch; 0: to the margin */
    /* What is kept for clef and meter before its first bar and for the bar line after its last:
       lines that repeat a rhythm keep as much as the one of them that needs most. */
    sp opening, ending;
    bool tight_counts; /* all lines of an exercise alike: count_cut.c */
};

/* Clef, meter and repeat sign before a line's first bar. */
sp opening_width(const struct layout *layout, uint32_t index);
/* The bar lines after a bar, and the meter that follows them: inside a line where the next bar
   changes it, and at a line's end as a warning of the same. */
sp after_width(const struct layout *layout, uint32_t index, bool at_end);

/* The line whose bars are being set: all of it that no spring moves, its springs' setting to the
   margin, its length at another setting. */
sp rigid_width(const struct layout *layout, const struct music_line *line);
struct setting line_solve(const struct layout *layout, const struct music_line *line);
double line_length(const struct layout *layout, const struct music_line *line,
                   struct setting setting);
/* How many of its springs ink holds longer than the setting would make them. */
size_t line_pushed(const struct layout *layout, struct setting setting);

/* Gives the columns and bar lines of the line that is being set their places. */
void bars_place(struct layout *layout, const struct music_line *line, struct setting setting);

/* Draws a line with its top staff line at y 0, and records its places in `system`. */
void system_draw(struct layout *layout, const struct music_line *line, struct page_system *system);

/* ---- breaking.c ------------------------------------------------------------------------------ */

/* What an exercise would take on one line; more than any line has where it has more than a few
   bars. */
struct one_line {
    sp rigid, natural, least;
};

/* Whether it fits this width with no worse than slightly dense or uneven spacing. */
bool one_line_fits(const struct one_line *line, sp width);

/* Adds the exercise's lines to the layout's, and makes its staff smaller where a bar is too wide
   for a line. */
void lines_of_exercise(struct layout *layout, uint32_t exercise);

/* ---- small.c: exercises that are too wide for the page's staves stand on a smaller one ------- */

/* As system_draw(), on the exercise's own staff. */
void sized_system_draw(struct layout *layout, const struct music_line *line,
                       struct page_system *system);
/* Sets the sheet to the line as the staff sees it, and text to its size. Returns what it was, for
   page_sheet(). */
struct sheet staff_sheet(struct layout *layout);
void page_sheet(struct layout *layout, struct sheet sheet);
/* No staff is smaller. */
int staff_size_least(const struct layout *layout);

#endif
