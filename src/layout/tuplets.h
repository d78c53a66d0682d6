#ifndef RATAMARK_LAYOUT_TUPLETS_H
#define RATAMARK_LAYOUT_TUPLETS_H
/* How far a tuplet's bracket reaches, and which tuplets always have one. */
#include "layout/work.h"

/* From the first head, or where it would be, to that of the last unit of the tuplet's time. `half`
   is from a head's middle to its side. */
void tuplet_reach(const struct work *work, const struct set_bar *bar, const struct tuplet *tuplet,
                  sp half, sp *left, sp *right);
/* Whether a tuplet is inside another or has one inside. */
bool tuplet_is_nested(const struct score_line *line, const struct tuplet *tuplet);

#endif
