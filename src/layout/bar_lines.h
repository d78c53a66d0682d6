#ifndef RATAMARK_LAYOUT_BAR_LINES_H
#define RATAMARK_LAYOUT_BAR_LINES_H
/* Bar lines and meters. */
#include "layout/layout.h"
#include "layout/staff.h"

enum bar_line {
    BAR_LINE_PLAIN,
    BAR_LINE_DOUBLE,
    BAR_LINE_CLOSE,
    BAR_LINE_REPEAT_END,
    BAR_LINE_REPEAT_BEGIN,
    BAR_LINE_REPEAT_BOTH
};

/* What stands after a bar. `next`: the bar after it on the same line; NULL at the line's end. */
enum bar_line bar_line_after(const struct score_bar *bar, const struct score_bar *next);
sp bar_line_width(const struct layout *layout, enum bar_line kind);
/* From where it begins to the middle of its first thin or thick line, which it must have. */
sp bar_line_thin(const struct layout *layout, enum bar_line kind);
sp bar_line_thick(const struct layout *layout, enum bar_line kind);
/* From x on. */
void bar_line_draw(struct layout *layout, enum bar_line kind, sp x);

/* The meter: groups over the unit, both centred: 4 over 4, 2+2+3 over 8. */
sp meter_width(const struct layout *layout, const struct meter *meter);
void meter_draw(struct layout *layout, const struct meter *meter, sp x);

#endif
