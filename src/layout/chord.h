#ifndef RATAMARK_LAYOUT_CHORD_H
#define RATAMARK_LAYOUT_CHORD_H
/* The heads that share a stem: where each stands, and the ink of all from their column. */
#include "layout/layout.h"
#include "layout/staff.h"

enum { CHORD_HEADS_MAX = 2 * NOTE_HITS_MAX };

struct chord_head {
    uint16_t glyph;
    int16_t line2;
    sp x, y;        /* origin, x from the column */
    sp left, right; /* ink, from the column */
    sp between[2];  /* of a ghost: where its parentheses end and begin */
    bool ghost, rings;
    bool joined;   /* of the feet, on the hands' stem */
    mark_set sign; /* what stands over it: MARKS_AT_SIGN */
};

struct chord {
    struct chord_head heads[CHORD_HEADS_MAX]; /* lowest first */
    uint8_t count;
    mark_set loud; /* the accents of its notes */
    bool up;
    sp stem_x;      /* middle of the stem, from the column */
    sp near, far;   /* where the stem joins the head nearest its end, and the farthest */
    sp centre;      /* of the head at the stem's root, from the column */
    sp left, right; /* ink of heads and their parentheses, from the column */
    uint8_t dots;
};

/* `joined`: a leaf of the feet that hangs on the same stem, or NULL. */
void chord_shape(const struct layout *layout, const struct leaf *leaf, const struct leaf *joined,
                 bool up, struct chord *chord);
void chord_shift(struct chord *chord, sp x);
/* The height of the dots of each head. */
void chord_dot_places(const struct chord *chord, sp places[CHORD_HEADS_MAX]);
/* From the heads' right end to the last of their dots. */
sp chord_dots_width(const struct layout *layout, const struct chord *chord);

/* The head that graces lead to: the lowest that a hand strikes. */
static inline const struct chord_head *chord_graced(const struct chord *chord)
{
    int head = 0;
    while (head + 1 < chord->count && chord->heads[head].joined)
        head++;
    return &chord->heads[head];
}
/* The head nearest the stem's end, and the one at its root. */
static inline const struct chord_head *chord_outer(const struct chord *chord)
{
    return &chord->heads[chord->up ? chord->count - 1 : 0];
}
static inline const struct chord_head *chord_root(const struct chord *chord)
{
    return &chord->heads[chord->up ? 0 : chord->count - 1];
}

#endif
