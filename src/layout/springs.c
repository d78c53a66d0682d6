#include "layout/springs.h"

#include <math.h>

/*
 * Each spring is as long as its natural length times one common stretch, but never shorter than its
 * rod (Gourlay 1987; Blostein & Haken 1991). The total is a rising, piecewise linear function of
 * the stretch. So the solution takes out the springs that lie on their rods, solves for the rest,
 * and repeats: it ends at the exact stretch, as every round takes out at least one spring more. In
 * practice three rounds do.
 */
static struct setting solve(const struct spring *springs, size_t count, double space, bool own)
{
    struct setting setting = {.stretch = INFINITY, .squeeze = 1, .own = own};
    double rods = 0;
    for (size_t i = 0; i < count; i++)
        rods += spring_rod(&springs[i], setting);
    if (rods >= space)
        return (struct setting){.squeeze = rods > 0 ? space / rods : 1, .own = own};
    for (;;) {
        double natural = 0, fixed = 0;
        for (size_t i = 0; i < count; i++)
            if (spring_pushed(&springs[i], setting))
                fixed += spring_rod(&springs[i], setting);
            else
                natural += springs[i].natural;
        double solved = natural > 0 ? (space - fixed) / natural : 0;
        bool settled = solved >= setting.stretch || natural <= 0;
        setting.stretch = solved;
        if (settled)
            return setting;
    }
}

struct setting springs_solve(const struct spring *springs, size_t count, double space)
{
    return solve(springs, count, space, false);
}

struct setting springs_solve_tight(const struct spring *springs, size_t count, double space)
{
    struct setting setting = solve(springs, count, space, false);
    return setting.squeeze == 1 ? setting : solve(springs, count, space, true);
}
