#ifndef RATAMARK_LAYOUT_NOTES_H
#define RATAMARK_LAYOUT_NOTES_H
/* Where the signs of a note, its graces and ties stand: for drawing, and for the rods that keep
   others off them. */
#include "layout/work.h"

/* The origin of a note's flag, from its column, where its stem ends at `end`. */
struct point flag_origin(const struct layout *layout, const struct set_note *note, sp end);
/* Whether a rest needs a leger line, as it is off the staff. */
bool rest_has_leger(const struct staff *staff, const struct set_note *rest);
/* The middle of what sits on a note's stem: between its head and the nearest edge of a beam, or the
   stem's end. */
sp stem_mark_height(const struct layout *layout, const struct set_note *note);

/* ---- graces.c: grace notes before a head. `letters`: each has a letter under it, which takes more
        room (graces_lettered()) ---------------------------------------------------------------- */

bool graces_lettered(const struct set_bar *bar, const struct set_note *note);
void graces_draw(struct layout *layout, const struct set_note *note, bool letters);

/* The ink of a note's graces from its column, without their heads: for rods. */
struct grace_boxes {
    struct box stems; /* with flag or beams */
    struct box slur;
    struct box slash, legers; /* empty if there are none */
};
struct grace_boxes graces_boxes(struct layout *layout, const struct set_note *note, bool letters);
/* How far graces reach left of their column. */
sp graces_reach(struct layout *layout, const struct leaf *leaf, const struct chord *chord,
                bool letters);
/* The head of a grace is of its main note's kind, of a rim shot a plain one. */
enum glyph grace_glyph(const struct chord *chord);
/* The middle of a grace from its column: negative. */
sp grace_offset(struct layout *layout, const struct note *note, const struct chord *chord,
                bool letters, int grace);
/* A stroke's letter: its sticking's, or of a foot beside others that have one, that of the foot;
   NULL: none. notes.c */
const char *note_letter(const struct layout *layout, const struct set_bar *bar,
                        const struct set_note *note, int line);
/* The row in which a stroke's letter stands. One of a foot that the hands' sticking has is in
   theirs, unless they strike there too. */
enum page_row letter_row(const struct work *work, const struct set_bar *bar,
                         const struct set_note *note, int line);
static inline enum text_style letter_style(enum page_row row)
{
    return row == ROW_FEET_LETTERS ? TEXT_STICKING_FEET : TEXT_STICKING;
}
/* The text of a grace's letter. */
static inline const char *grace_letter(const struct note *note, int grace)
{
    return note->graces >> grace & 1 ? "L" : "R";
}

/* ---- ties.c: ties, and a roll's tie into the note after it ----------------------------------- */

/* Whether a tie leads from a note to the next. */
bool note_leads_on(const struct set_note *note);
/* How far right of its column a note's ties may have to begin: past its flag, as they may be on the
   stem's side. */
sp tie_reach(const struct layout *layout, const struct set_note *note);
/* How much more stem a third slash takes. */
static inline sp third_slash(const struct set_note *note)
{
    return leaf_stem_marks(note->leaf) & MARK_SLASH_3 ? HOUSE_STEM_THIRD : 0;
}
/* Whether a short tie into nothing follows the note, and how far right of its column that ends. */
bool note_rings(const struct set_note *note);
sp ring_reach(const struct layout *layout, const struct set_note *note);
/* Whether a tie of either line comes into a bar from the one before it. */
bool tie_enters(const struct staff *staff, uint32_t bar);

#endif
