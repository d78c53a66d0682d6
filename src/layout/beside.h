#ifndef RATAMARK_LAYOUT_BESIDE_H
#define RATAMARK_LAYOUT_BESIDE_H
/* Two exercises side by side. */
#include "layout/layout.h"

/* Offers page breaking a choice, if two exercises may stand side by side that would otherwise be
   printed one below the other, as blocks [first, end). */
void beside_offer(struct layout *layout, uint32_t left, uint32_t right, uint32_t first,
                  uint32_t end);

#endif
