#ifndef RATAMARK_LAYOUT_SPRINGS_H
#define RATAMARK_LAYOUT_SPRINGS_H
/* Springs in a row: they stand between the columns of notes and fill a line to its margin. */
#include "model/metrics.h"

struct spring {
    double natural;
    sp rod; /* least length */
    sp own; /* what its bar alone needs: bars of one rhythm share the largest rod among them */
};

struct setting {
    double stretch; /* of natural lengths */
    double squeeze; /* 1; less where even the rods do not fit */
    bool own;       /* each bar keeps to its own rods */
};

/* The stretch at which the springs fill `space` exactly. */
struct setting springs_solve(const struct spring *springs, size_t count, double space);
/* The same with the bars' own rods where what they share does not fit. */
struct setting springs_solve_tight(const struct spring *springs, size_t count, double space);

static inline sp spring_rod(const struct spring *spring, struct setting setting)
{
    return setting.own ? spring->own : spring->rod;
}
/* Whether its rod makes a spring longer than its natural length would. */
static inline bool spring_pushed(const struct spring *spring, struct setting setting)
{
    return spring_rod(spring, setting) > spring->natural * setting.stretch;
}
static inline double spring_length(const struct spring *spring, struct setting setting)
{
    double length = spring_pushed(spring, setting) ? spring_rod(spring, setting)
                                                   : spring->natural * setting.stretch;
    return length * setting.squeeze;
}

#endif
