#ifndef RATAMARK_LAYOUT_STAFF_H
#define RATAMARK_LAYOUT_STAFF_H
/* How one exercise is set: on one line or five, which of hands and feet play, how large. */
#include "layout/house.h"
#include "model/metrics.h"
#include "model/score.h"

struct staff {
    const struct score_exercise *exercise; /* as its lines show it: breaking.c mixes the next two */
    const struct score_exercise *in_signs; /* with all signs for bars */
    const struct score_exercise
        *in_notes;  /* with notes for bars that are repeated; NULL: none are */
    uint32_t index; /* in the score */
    bool one_line;
    bool feet;              /* the feet play: the hands' rests move up */
    int feet_top;           /* the highest place of their heads */
    bool join_feet;         /* feet hang on the hands' stems (stems: up) */
    bool sloped;            /* beams follow the contour */
    bool dynamics;          /* some bar has dynamics */
    bool even_counts;       /* feet's tuplets are not counted, as in some bar they cannot be */
    bool feet_letters;      /* some bar has a sticking of the feet: all get their letters */
    int size;               /* per thousand of the page's staves: less where a bar is too wide */
    bool small_text;        /* ... and its text with it, to less than 7 points */
    sp top, bottom;         /* outermost staff lines: 0 and 4000, or 0 and 0 */
    sp bar_top, bar_bottom; /* bar lines */
};

enum { STAFF_WHOLE = 1000 }; /* the size of the page's staves */

/* `arena` holds what the staff points at. */
void staff_of_exercise(const struct score *score, uint32_t exercise, struct arena *arena,
                       struct staff *staff);

/* All staves of a lesson on one line or all on five, but where the lesson asks for something else.
 */
void staves_agree(struct staff *staves, size_t count);

/* The place of a voice, counted in half spaces: 2 is the bottom line of five, and the line that
   stands alone is their middle. All hands play on that one; feet keep their places below it. */
static inline int staff_place(const struct staff *staff, const struct voice *voice)
{
    enum { MIDDLE_LINE = 6, BELOW = 3 };
    if (!staff->one_line)
        return voice->line2;
    return voice->player == PLAYER_HANDS ? MIDDLE_LINE
           : voice->line2 < BELOW        ? voice->line2
                                         : BELOW;
}
/* The height of a place. */
static inline sp staff_y(const struct staff *staff, int line2)
{
    return ((staff->one_line ? 6 : 10) - line2) * 500;
}
static inline sp staff_middle(const struct staff *staff)
{
    return (staff->top + staff->bottom) / 2;
}
/* How many leger lines a head at this place needs, and the height of each, the staff's nearest
   first. */
static inline int staff_legers(const struct staff *staff, int line2)
{
    return staff->one_line             ? 0
           : line2 >= HOUSE_LEGER_UP   ? (line2 - HOUSE_LEGER_UP) / 2 + 1
           : line2 <= HOUSE_LEGER_DOWN ? (HOUSE_LEGER_DOWN - line2) / 2 + 1
                                       : 0;
}
static inline sp staff_leger_y(const struct staff *staff, int line2, int leger)
{
    return staff_y(staff, line2 >= HOUSE_LEGER_UP ? HOUSE_LEGER_UP + 2 * leger
                                                  : HOUSE_LEGER_DOWN - 2 * leger);
}

#endif
