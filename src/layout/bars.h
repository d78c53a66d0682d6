#ifndef RATAMARK_LAYOUT_BARS_H
#define RATAMARK_LAYOUT_BARS_H
/*
 * The bars of an exercise are set once, when its lines are broken, and stay for drawing. Bars of
 * one rhythm share their rods and lead. Of a very long exercise only the rhythms are kept: each of
 * its lines sets its bars again.
 */
#include "layout/work.h"

struct music_line;

/* What bars of one rhythm share. */
struct rhythm {
    struct range springs; /* in rhythms.springs */
    sp lead;
};
struct rhythms {
    VECTOR(struct rhythm) items;
    VECTOR(struct spring) springs;
    uint32_t *of_bar; /* by bar of the exercise */
};

/* Makes an exercise the one that is being set: its staff, its bars and their rhythms, unless these
   are there already. */
void bars_set(struct layout *layout, uint32_t exercise);
/* ... even if they are: on a staff of another size text takes more or less room. */
void bars_set_again(struct layout *layout, uint32_t exercise);
/* A bar of the exercise that was set last. Valid until the next call. */
const struct set_bar *bars_find(struct layout *layout, uint32_t index);
/* Makes a line's bars those that are being set. */
void bars_collect(struct layout *layout, const struct music_line *line);

/* Where an instant of a bar that is being drawn falls: between columns (a swell inside a long note)
   in proportion to time. */
sp instant_x(const struct work *work, const struct set_bar *bar, struct fraction onset);

void work_release(struct work *work);
void rhythms_release(struct rhythms *rhythms);

/* ---- one bar --------------------------------------------------------------------------------- */

/* columns.c: adds a bar of the exercise to the work. Valid until the next one. */
struct set_bar *columns_add_bar(struct layout *layout, uint32_t index);

/* rods.c: the least lengths of a bar's springs, and its lead, from the ink of its columns. */
void rods_set(struct layout *layout, struct set_bar *set);

#endif
