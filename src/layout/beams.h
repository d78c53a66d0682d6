#ifndef RATAMARK_LAYOUT_BEAMS_H
#define RATAMARK_LAYOUT_BEAMS_H
/* Beams and the ends of stems. */
#include "layout/work.h"

/* Marks which notes of a bar stand under a beam, and estimates how far out their stems may end:
   before the bar's ink is measured. */
void beams_mark(struct layout *layout, struct set_bar *bar);
/* Where the stem of a note without a beam ends. */
sp lone_stem_end(const struct layout *layout, const struct set_note *note);

/* Settles the line's beams, once its columns have their places. */
void beams_set(struct layout *layout);
/* Moves groups outwards until no narrow white is left between a beam and a staff line. */
void beams_clear_lines(struct layout *layout);

/* Whether beams beyond the first break between two neighbouring notes of one group. */
bool beams_break(const struct set_bar *bar, const struct set_note *a, const struct set_note *b);

/* The height of a group's outer edge at x. */
static inline sp beam_edge(const struct beam_group *group, sp x)
{
    double rise = group->slope * (x - group->x);
    return group->y + (sp)(rise < 0 ? rise - 0.5 : rise + 0.5);
}
/* From one beam's edge to that of the next, and the height of `count` beams. */
static inline sp beam_step(const struct engraving_defaults *defaults)
{
    return defaults->beam + defaults->beam_gap;
}
static inline sp beams_thick(const struct engraving_defaults *defaults, int count)
{
    return count ? count * beam_step(defaults) - defaults->beam_gap : 0;
}

#endif
