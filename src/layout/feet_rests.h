#ifndef RATAMARK_LAYOUT_FEET_RESTS_H
#define RATAMARK_LAYOUT_FEET_RESTS_H
/* Which rests of the feet are printed. */
#include "layout/work.h"

/* Unhides the rests that a reader needs. `notes`: one for each leaf of the feet. */
void feet_rests_show(const struct score_bar *bar, struct set_note *notes);

#endif
