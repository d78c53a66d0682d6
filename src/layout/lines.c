#include "layout/lines.h"

#include "base/arena.h"
#include "layout/geometry.h"
#include "layout/house.h"

#include <math.h>

/*
 * Line breaking by least total cost (Knuth & Plass 1981), for the whole exercise at once:
 *
 *     1. For each bar, the cheapest way to end a line after it is found from those of the bars
 *        before: the line's own cost and the least cost up to where it begins.
 *     2. Looking back from a bar ends where the bars no longer fit one line, so that the work is in
 *        proportion to the bars.
 *     3. The lines are read off from the end.
 *
 * A line's cost grows with the cube of how far it is stretched or squeezed.
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
    double badness = 0, widow = 0;
    if (last && natural <= space) {
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

/* The lengths of bars [first, end), natural and at their tightest. They have one stretch: the bar
   that bears the least sets how tight all can be. */
struct line_sum {
    double natural, least;
};

static struct line_sum sum_of(const struct line_bar *bars, size_t first, size_t end)
{
    struct line_sum sum = {0};
    sp tightest = 0;
    for (size_t i = first; i < end; i++) {
        sum.natural += bars[i].natural;
        sum.least += bars[i].least;
        tightest = sp_max(tightest, bars[i].tightest);
    }
    sum.least = fmax(sum.natural * tightest / 1000, sum.least);
    return sum;
}

double line_shortest(const struct line_bar *bars, size_t first, size_t end)
{
    return sum_of(bars, first, end).least;
}

sp line_needs(const struct line_bar *bars, size_t first, size_t end)
{
    return line_rigid(bars, first, end) + (sp)line_shortest(bars, first, end);
}

static bool opens_inside(const struct line_bar *bars, size_t first, size_t end)
{
    for (size_t i = first + 1; i < end; i++)
        if (bars[i].opens)
            return true;
    return false;
}

double line_cost(const struct line_bar *bars, size_t first, size_t end, size_t count, sp width)
{
    if (opens_inside(bars, first, end))
        return INFINITY;
    struct line_sum sum = sum_of(bars, first, end);
    double space = width - line_rigid(bars, first, end);
    if (sum.least > space)
        return end - first == 1 ? 1e9 : INFINITY;
    return cost_of(sum.natural, sum.least, space, line_is_last(bars, end, count),
                   first == 0 || bars[first].opens);
}

/* All lines that end before bar `end`. */
static void lines_before(const struct line_bar *bars, size_t end, size_t count, sp width,
                         struct stop *stops)
{
    stops[end].total = INFINITY;
    for (size_t first = end; first-- > 0;) {
        double cost = line_cost(bars, first, end, count, width);
        if (cost == INFINITY)
            return;
        stop_offer(stops, first, end, cost);
    }
}

size_t stops_trace(const struct stop *stops, size_t count, uint32_t *ends)
{
    size_t pieces = 0;
    for (size_t end = count; end > 0; end = stops[end].from)
        pieces++;
    size_t piece = pieces;
    for (size_t end = count; end > 0; end = stops[end].from)
        ends[--piece] = (uint32_t)end;
    return pieces;
}

static size_t lines_of(const struct line_bar *bars, unsigned per_line, size_t count, uint32_t *ends)
{
    size_t lines = 0, first = 0;
    for (size_t end = 1; end <= count; end++)
        if (end - first == per_line || line_is_last(bars, end, count)) {
            ends[lines++] = (uint32_t)end;
            first = end;
        }
    return lines;
}

size_t lines_break(const struct line_bar *bars, size_t count, sp width, unsigned per_line,
                   uint32_t *ends)
{
    if (per_line)
        return lines_of(bars, per_line, count, ends);
    struct stop *stops = memory_alloc((count + 1) * sizeof *stops);
    stops[0].total = 0;
    for (size_t end = 1; end <= count; end++)
        lines_before(bars, end, count, width, stops);
    size_t lines = stops_trace(stops, count, ends);
    memory_free(stops);
    return lines;
}
