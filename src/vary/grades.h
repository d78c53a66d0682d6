#ifndef RATAMARK_VARY_GRADES_H
#define RATAMARK_VARY_GRADES_H
/* Which of two variations of a space is the simpler one, without regard to tempo. */
#include "vary/space.h"

/* Below 0 if `a` comes first; 0 only for equal letters. The one with less in what varies comes
   first; among equals, the order that ratamark(1) gives under VARIATIONS decides. */
int grades_compare(const struct space *space, const uint32_t *a, const uint32_t *b);

#endif
