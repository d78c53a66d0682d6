#ifndef RATAMARK_LAYOUT_FIGURES_H
#define RATAMARK_LAYOUT_FIGURES_H
/* Figures: the rhythm that the band plays, small above the staff. */
#include "layout/house.h"
#include "model/metrics.h"
#include "model/score.h"

/* How far the ink of a figure reaches to the right of its column: its head, dots, a flag. */
static inline sp figure_half(const struct leaf *leaf)
{
    sp dots = leaf->dots * 400, flag = leaf->value_log2 > 2 ? 400 : 0;
    return HOUSE_FIGURE_HALF + sp_max(dots, flag);
}

#endif
