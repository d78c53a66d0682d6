#include "layout/layout_int.h"

#include <math.h>

/*
 * Springs in a row (Gourlay 1987; Blostein & Haken 1991): each is as long as its natural length
 * times one common stretch, but never shorter than its rod. The total is a rising, piecewise linear
 * function of the stretch, so that taking out the springs that lie on their rods and solving for
 * the rest again ends at the exact stretch: every round takes out at least one more, and in
 * practice three rounds do.
 */
struct setting springs_solve(const struct spring *springs, size_t count, double space)
{
    double rods = 0, stretch = INFINITY;
    for (size_t i = 0; i < count; i++)
        rods += springs[i].rod;
    if (rods >= space)
        return (struct setting){.stretch = 0, .squeeze = rods > 0 ? space / rods : 1};
    for (;;) {
        double natural = 0, fixed = 0;
        for (size_t i = 0; i < count; i++) {
            if (springs[i].rod > springs[i].natural * stretch)
                fixed += springs[i].rod;
            else
                natural += springs[i].natural;
        }
        double solved = natural > 0 ? (space - fixed) / natural : 0;
        if (solved >= stretch || natural <= 0)
            return (struct setting){.stretch = solved, .squeeze = 1};
        stretch = solved;
    }
}

double spring_length(const struct spring *spring, struct setting setting)
{
    double length = spring->natural * setting.stretch;
    return (length > spring->rod ? length : spring->rod) * setting.squeeze;
}
