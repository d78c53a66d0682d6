#ifndef RATAMARK_LAYOUT_SYSTEM_H
#define RATAMARK_LAYOUT_SYSTEM_H
/* One line of an exercise, set to the margin and drawn: a system of the page. */
#include "layout/work.h"

/* As the breaking left it. */
struct line {
    uint32_t exercise, first_bar, bar_count;
    float stretch; /* ragged lines: the springs' stretch; 0: to the margin */
    /* What is kept for clef and meter before its first bar and for the bar line after its last:
       lines that repeat a rhythm keep as much as the one of them that needs most. */
    sp opening, ending;
};

/* Clef, meter and repeat sign before a line's first bar. */
sp opening_width(const struct layout *layout, const struct staff *staff, uint32_t index);
/* The bar lines after a bar, and the meter that follows them: inside a line where the next bar
   changes it, and at a line's end as a warning of the same. */
sp after_width(const struct layout *layout, const struct staff *staff, uint32_t index, bool at_end);

/* The line whose bars are being set: all of it that no spring moves, its springs' setting to the
   margin, its length at another setting. */
sp rigid_width(const struct layout *layout, const struct staff *staff, const struct line *line);
struct setting line_solve(const struct layout *layout, const struct staff *staff,
                          const struct line *line);
double line_length(const struct layout *layout, const struct staff *staff, const struct line *line,
                   struct setting setting);
/* How many of its springs ink holds longer than the setting would make them. */
size_t line_pushed(const struct layout *layout, struct setting setting);

/* Draws a line with its top staff line at y 0, and notes in `system` where it is. */
void system_draw(struct layout *layout, const struct line *line, struct page_system *system);

#endif
