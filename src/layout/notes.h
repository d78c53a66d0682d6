#ifndef RATAMARK_LAYOUT_NOTES_H
#define RATAMARK_LAYOUT_NOTES_H
/* Where the signs of a note stand: for drawing, and for the rods that keep others off them. */
#include "layout/work.h"

/* The origin of a note's flag, from its column, where its stem ends at `end`. */
struct point flag_origin(const struct layout *layout, const struct set_note *note, sp end);
/* The middle of what sits on a note's stem: between its head and the nearest edge of a beam, or the
   stem's end. */
sp stem_mark_height(const struct layout *layout, const struct set_note *note);

#endif
