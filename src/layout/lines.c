#include "layout/layout_int.h"

#include <math.h>

/*
 * Line breaking by least total cost (Knuth & Plass 1981), for the whole exercise at once. A line's
 * cost grows with the cube of how far it is stretched or squeezed. Looking back from each bar ends
 * where the bars no longer fit, so that the work is in proportion to the bars.
 */

/* The opening of the first and the ending of the last bar, and what stands between. */
static sp line_rigid(const struct line_bar *bars, size_t first, size_t end)
{
    sp rigid = bars[first].opening + bars[end - 1].ending;
    for (size_t i = first; i + 1 < end; i++)
        rigid += bars[i].between;
    return rigid;
}

static double cost_of(double natural, double least, double space, bool last, bool sole)
{
    double badness, widow = 0;
    if (last && natural <= space) {
        badness = 0;
        if (!sole && natural < space * HOUSE_FULL / 1000)
            widow = HOUSE_COST_WIDOW * (1 - natural * 1000 / (space * HOUSE_FULL));
    } else {
        double ratio = natural <= space  ? (space - natural) / natural
                       : natural > least ? (natural - space) / (natural - least)
                                         : 1;
        badness = 100 * ratio * ratio * ratio;
    }
    return (HOUSE_COST_LINE + badness) * (HOUSE_COST_LINE + badness) + widow;
}

/* A line's bars have one stretch: the one that bears the least sets how tight all can be. */
static double line_least(double natural, double least, sp tightest)
{
    double shared = natural * tightest / 1000;
    return shared > least ? shared : least;
}

double line_shortest(const struct line_bar *bars, size_t first, size_t end)
{
    double natural = 0, least = 0;
    sp tightest = 0;
    for (size_t i = first; i < end; i++) {
        natural += bars[i].natural;
        least += bars[i].least;
        tightest = sp_max(tightest, bars[i].tightest);
    }
    return line_least(natural, least, tightest);
}

sp line_needs(const struct line_bar *bars, size_t first, size_t end)
{
    return line_rigid(bars, first, end) + (sp)line_shortest(bars, first, end);
}

double line_cost(const struct line_bar *bars, size_t first, size_t end, size_t count, sp width)
{
    double natural = 0, space = width - line_rigid(bars, first, end);
    double least = line_shortest(bars, first, end);
    for (size_t i = first; i < end; i++)
        natural += bars[i].natural;
    if (least > space)
        return end - first == 1 ? 1e9 : INFINITY;
    return cost_of(natural, least, space, end == count, first == 0);
}

/* The cheapest line that ends before bar `end`, added to the cheapest way to its start. */
static void best_line(const struct line_bar *bars, size_t end, size_t count, sp width,
                      double *total, uint32_t *from)
{
    double natural = 0, bare = 0;
    sp between = 0, tightest = 0;
    total[end] = INFINITY;
    for (size_t first = end; first-- > 0;) {
        natural += bars[first].natural;
        bare += bars[first].least;
        tightest = sp_max(tightest, bars[first].tightest);
        double least = line_least(natural, bare, tightest);
        double space = width - bars[first].opening - bars[end - 1].ending - between;
        double cost = 1e9;
        if (least <= space)
            cost = cost_of(natural, least, space, end == count, first == 0);
        else if (end - first > 1)
            break;
        if (total[first] + cost < total[end]) {
            total[end] = total[first] + cost;
            from[end] = (uint32_t)first;
        }
        if (first > 0)
            between += bars[first - 1].between;
    }
}

static size_t lines_of(unsigned per_line, size_t count, uint32_t *ends)
{
    size_t lines = 0;
    for (size_t end = 0; end < count;) {
        end = end + per_line < count ? end + per_line : count;
        ends[lines++] = (uint32_t)end;
    }
    return lines;
}

size_t lines_break(const struct line_bar *bars, size_t count, sp width, unsigned per_line,
                   uint32_t *ends)
{
    if (per_line)
        return lines_of(per_line, count, ends);
    double *total = memory_alloc((count + 1) * sizeof *total);
    uint32_t *from = memory_alloc((count + 1) * sizeof *from);
    total[0] = 0;
    for (size_t end = 1; end <= count; end++)
        best_line(bars, end, count, width, total, from);
    size_t lines = 0;
    for (size_t end = count; end > 0; end = from[end])
        lines++;
    size_t line = lines;
    for (size_t end = count; end > 0; end = from[end])
        ends[--line] = (uint32_t)end;
    memory_free(total);
    memory_free(from);
    return lines;
}
