#ifndef RATAMARK_LAYOUT_OVER_H
#define RATAMARK_LAYOUT_OVER_H
/* Words and letters over the staff, on one baseline for a line of music as far as they have room
   beside each other. */
#include "model/page.h"
#include "model/score.h"

struct layout;

struct over {
    const char *mark;  /* from left to right: a rehearsal letter, or NULL */
    enum glyph sign;   /* segno or coda, or GLYPH_NONE */
    const char *words; /* or NULL */
    enum glyph after;  /* the coda of "to Coda", or GLYPH_NONE */
    sp left, right;
    sp top, bottom; /* of its ink, from the baseline */
    struct mark_owner owner;
    bool ends; /* at its bar's right end, which `left` is until it is measured */
    bool drawn;
};

struct over_row {
    struct over *items;
    size_t count, room;
};

/* Warns of words that are wider than a line. */
void over_warn_cut(struct layout *layout, const struct score_exercise *exercise);

#endif
