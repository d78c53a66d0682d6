#ifndef RATAMARK_LAYOUT_TIES_H
#define RATAMARK_LAYOUT_TIES_H
/* Ties, and a roll's tie into the note after it: what the spacing has to know of them. */
#include "layout/work.h"

/* Whether a tie leads from a note to the next. */
bool note_leads_on(const struct set_note *note);
/* How far right of its column a note's ties may have to begin: past its flag, as they may be on the
   stem's side. */
sp tie_reach(const struct layout *layout, const struct staff *staff, const struct set_note *note);
/* Whether a tie of either line comes into a bar from the one before it. */
bool tie_enters(const struct staff *staff, uint32_t bar);

#endif
