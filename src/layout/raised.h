#ifndef RATAMARK_LAYOUT_RAISED_H
#define RATAMARK_LAYOUT_RAISED_H
/* Marks above or below the staff whose height is settled together with their neighbours'. */
#include "base/vector.h"
#include "model/page.h"
#include "model/score.h"

struct raised {
    sp y; /* of the ink edge that faces the staff */
    sp left, right;
    uint16_t glyph; /* GLYPH_NONE: the number */
    uint8_t number; /* of a roll */
    struct mark_owner owner;
    const struct tuplet *tuplet;
    bool bracket;
    bool below;
};

struct raised_row {
    struct raised *items;
    size_t count, room;
};

/* Heights that differ by less than HOUSE_ONE_LINE_OF become one, the outermost. */
void raised_align(struct raised_row *raised, bool below);

#endif
