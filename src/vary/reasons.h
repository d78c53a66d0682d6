#ifndef RATAMARK_VARY_REASONS_H
#define RATAMARK_VARY_REASONS_H
/* Why a space is empty: limits that leave nothing together, none of which can be left out. A limit
   is a count of a choice, or a column that `keep` names (space.h). */
#include "vary/space.h"

/* Bits of those limits; 0 if the space is not empty, or is empty without any limit. */
uint64_t reasons_find(struct space *space);
/* "2 to 4 kicks", "the snare accent on 4"; joined with commas. */
const char *reasons_words(const struct space *space, uint64_t limits);
/* Where the first of them is written. */
struct place reasons_place(const struct space *space, uint64_t limits);

#endif
