#ifndef RATAMARK_PLAY_OUTLOOK_H
#define RATAMARK_PLAY_OUTLOOK_H
/*
 * How an exercise could be played faster: the highest tempo at each level, what limits it at its
 * own level, what would limit it next, and what the other hand or another surface would bring.
 */
#include "model/score.h"

enum { OUTLOOK_LIMITS = 3 };

/* A limit: one limb's strokes in a row, or one move of it. Without it, and those before it, the
   next one limits. */
struct outlook_limit {
    const char *words; /* "the right hand from the ride to the crash (bar 1 at 1)" */
    uint32_t tenths;   /* of quarters a minute */
    struct easing {
        const char *words; /* "with the crash on the left hand" */
        uint32_t tenths;   /* the tempo of the whole exercise then; 0: no gain */
    } by_hand, by_surface;
};

struct outlook {
    const struct limits *limits; /* of its own level, or the one asked for */
    struct verdict_of_level {
        enum verdict_kind kind;
        uint32_t tenths; /* VERDICT_TEMPO */
    } levels[LEVEL_COUNT], own;
    struct outlook_limit limits_met[OUTLOOK_LIMITS];
    size_t limit_count;
};

/* `level`: NULL for the exercise's own. The exercise's verdict stays as it was. */
struct outlook play_outlook(struct score *score, struct score_exercise *exercise,
                            const struct limits *level);

#endif
