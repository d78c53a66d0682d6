#ifndef RATAMARK_LAYOUT_GEOMETRY_H
#define RATAMARK_LAYOUT_GEOMETRY_H
/* Arithmetic with lengths and boxes. A scale is in thousandths: 1000 leaves a length as it is. */
#include "model/metrics.h"

/* Rounds towards zero. */
static inline sp sp_scaled(sp length, int scale)
{
    return scale == 1000 ? length : (sp)((int64_t)length * scale / 1000);
}

static inline sp box_width(struct box box)
{
    return box.right - box.left;
}
static inline sp box_height(struct box box)
{
    return box.bottom - box.top;
}
static inline sp box_middle_x(struct box box)
{
    return (box.left + box.right) / 2;
}
static inline sp box_middle_y(struct box box)
{
    return (box.top + box.bottom) / 2;
}
static inline struct box box_moved(struct box box, sp x, sp y)
{
    return (struct box){box.left + x, box.top + y, box.right + x, box.bottom + y};
}
static inline struct box box_scaled(struct box box, int scale)
{
    return (struct box){sp_scaled(box.left, scale), sp_scaled(box.top, scale),
                        sp_scaled(box.right, scale), sp_scaled(box.bottom, scale)};
}
static inline struct box box_around(struct point centre, sp width, sp height)
{
    return (struct box){centre.x - width / 2, centre.y - height / 2, centre.x + width / 2,
                        centre.y + height / 2};
}
static inline struct box box_grown(struct box box, sp by)
{
    return (struct box){box.left - by, box.top - by, box.right + by, box.bottom + by};
}

/* Numbers [first, end) of a row. */
struct range {
    size_t first, end;
};

#endif
