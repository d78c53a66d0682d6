#ifndef RATAMARK_LAYOUT_BEAMS_H
#define RATAMARK_LAYOUT_BEAMS_H
/* Beams and the ends of stems. */
#include "layout/work.h"

/* Marks which notes of a bar share a beam, and estimates how far out their stems may end:
   before the bar's ink is measured. */
void beams_mark(struct layout *layout, struct set_bar *bar);
/* Where the stem of a note without a beam ends. */
sp lone_stem_end(const struct layout *layout, const struct set_note *note);

/* Settles the line's beams, once its columns have their places. */
void beams_set(struct layout *layout);
/* Moves groups outwards until no narrow white is left between a beam and a staff line. */
void beams_clear_lines(struct layout *layout);

/* Whether no beam joins this leaf to the one before. Not for the first leaf of a line. */
bool beam_ends_before(const struct score_bar *bar, const struct score_line *line, uint32_t leaf);
/* Whether all beams but the first break between two neighbouring notes of a group. */
bool beams_break(const struct set_bar *bar, const struct set_note *a, const struct set_note *b);

#endif
