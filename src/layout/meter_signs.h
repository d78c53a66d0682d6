#ifndef RATAMARK_LAYOUT_METER_SIGNS_H
#define RATAMARK_LAYOUT_METER_SIGNS_H
/* The meter: groups over the unit, both centred: 4 over 4, 2+2+3 over 8. */
#include "layout/layout.h"
#include "layout/staff.h"

sp meter_width(const struct layout *layout, const struct meter *meter);
void meter_draw(struct layout *layout, const struct staff *staff, const struct meter *meter, sp x);

#endif
