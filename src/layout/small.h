#ifndef RATAMARK_LAYOUT_SMALL_H
#define RATAMARK_LAYOUT_SMALL_H
/* Exercises that are too wide for the page's staves stand on a smaller one. */
#include "layout/sheet.h"
#include "layout/system.h"

/* As system_draw(), on the exercise's own staff. */
void sized_system_draw(struct layout *layout, const struct line *line, struct page_system *system);
/* Sets the sheet to the line as the staff sees it. Returns what it was. */
struct sheet staff_sheet(struct layout *layout, const struct staff *staff);
/* The size of staff on which `needed` fits the width; not below the smallest. */
int staff_size_for(const struct layout *layout, sp needed, sp width);

#endif
