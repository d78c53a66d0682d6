#ifndef RATAMARK_LAYOUT_GRACES_H
#define RATAMARK_LAYOUT_GRACES_H
/*
 * Grace notes before a head. `letters`: each has a letter under it, which takes more room
 * (graces_lettered()).
 */
#include "layout/work.h"

bool graces_lettered(const struct set_bar *bar, const struct set_note *note);
void graces_draw(struct layout *layout, const struct staff *staff, const struct set_note *note,
                 bool letters);

/* The ink of a note's graces from its column, without their heads: for rods. */
struct grace_boxes {
    struct box stems; /* with flag or beams */
    struct box slur;
    struct box slash, legers; /* empty if there are none */
};
struct grace_boxes graces_boxes(struct layout *layout, const struct staff *staff,
                                const struct set_note *note, bool letters);
/* How far graces reach left of their column. */
sp graces_reach(struct layout *layout, const struct leaf *leaf, const struct chord *chord,
                bool letters);
/* The head of a grace is of its main note's kind, of a rim shot a plain one. */
enum glyph grace_glyph(const struct chord *chord);
/* The middle of a grace from its column: negative. */
sp grace_offset(struct layout *layout, const struct note *note, const struct chord *chord,
                bool letters, int grace);
/* The text of a grace's letter. */
static inline const char *grace_letter(const struct note *note, int grace)
{
    return note->graces >> grace & 1 ? "L" : "R";
}

#endif
