#ifndef RATAMARK_MODEL_VARY_H
#define RATAMARK_MODEL_VARY_H
/*
 * Where an exercise with `vary` can change: its columns, in order of time. A column is a slot of
 * the grid, a stroke of a rhythm, or a place between them where a foot may strike.
 */
#include "model/lesson.h"

enum vary_fixed {
    VARY_FIXED_VOICE = 1 << 0, /* `at` or `keep` gives the hands' voice */
    VARY_FIXED_ACCENT = 1 << 1,
    VARY_FIXED_GHOST = 1 << 2,
    VARY_FIXED_REST = 1 << 3
};

struct vary_column {
    struct fraction onset; /* from the bar line */
    const char *name;      /* how a count names it: "3e" */
    uint32_t bar;          /* index among the exercise's bars */
    uint16_t beat;
    int32_t stroke;   /* the item of the sticking that falls here, counted through the exercise;
                         -1: none can */
    bool struck;      /* the hands strike here as the exercise is written */
    uint8_t may;      /* bits by enum vary_part: what may be here */
    uint8_t kept;     /* bits by enum vary_part: what `keep` has here */
    uint8_t fixed;    /* enum vary_fixed bits */
    uint64_t written; /* stands for all that the lesson says of this place and `vary` leaves as it
                         is: equal numbers, equal places */
    const struct voicing *keep; /* what `keep` has for the hands; NULL: nothing */
};

struct vary_columns {
    struct vary_column *items;
    size_t count;
    uint32_t bars;
    bool even; /* equal times from each to the next, and from the last to the first */
};

#endif
