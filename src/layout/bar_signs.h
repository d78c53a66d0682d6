#ifndef RATAMARK_LAYOUT_BAR_SIGNS_H
#define RATAMARK_LAYOUT_BAR_SIGNS_H
/* Signs that stand in a bar in place of its notes: bar repeats, and rests of several bars. */
#include "layout/layout.h"
#include "layout/work.h"

void bar_sign_draw(struct layout *layout, const struct set_bar *bar);
/* The room that the sign or whole rest of a bar needs between the bar lines; 0: it has notes. */
sp bar_sign_width(const struct layout *layout, const struct score_bar *bar);

#endif
