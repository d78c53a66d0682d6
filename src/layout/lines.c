#include "layout/lines.h"

#include "base/arena.h"
#include "base/vector.h"
#include "layout/geometry.h"
#include "layout/house.h"

#include <math.h>

/*
 * Line breaking by least total cost (Knuth & Plass 1981), for the whole exercise at once:
 *
 *     1. Each line that fits is a node: the bars it begins and ends with. Looking back from a bar
 *        ends where the bars no longer fit one line, so the nodes are in proportion to the bars. A
 *        bar that begins its line has notes, where a sign might be narrower: if they do not fit,
 *        the bars from the one before on still may.
 *     2. For each node, the cheapest of the lines that may stand before it is found: the least cost
 *        up to that line, and what the two cost because they differ.
 *     3. The lines are read off from the end.
 *
 * A line's cost grows with the cube of how far it is stretched or squeezed.
 */

/* The opening of the first and the ending of the last bar, and what stands between. */
static sp line_rigid(const struct line_bar *bars, size_t first, size_t end)
{
    sp rigid = bars[first].opening + bars[end - 1].ending;
    for (size_t i = first; i + 1 < end; i++)
        if (line_sign(bars, i, first, end) != 2)
            rigid += bars[i].between;
    return rigid;
}

static double badness_of(double natural, double least, double space)
{
    double ratio = natural <= space  ? (space - natural) / natural
                   : natural > least ? (natural - space) / (natural - least)
                                     : 1;
    return 100 * ratio * ratio * ratio;
}

/* Of a last line that need not be full. */
static double widow_cost(double natural, double space, bool sole)
{
    double full = space * HOUSE_FULL / 1000;
    return sole || natural >= full ? 0 : HOUSE_COST_WIDOW * (1 - natural / full);
}

/* The lengths of bars [first, end), natural and at their tightest. They have one stretch: the bar
   that bears the least sets how tight all can be. */
struct line_sum {
    double natural, least, rods;
};

static struct line_sum sum_of(const struct line_bar *bars, size_t first, size_t end)
{
    struct line_sum sum = {0};
    sp tightest = 0;
    for (size_t i = first, sign; i < end; i += sign ? sign : 1) {
        sign = line_sign(bars, i, first, end);
        const struct bar_length *length = sign ? &bars[i].as_sign : &bars[i].notes;
        sum.natural += length->natural;
        sum.least += length->least;
        sum.rods += length->rods;
        tightest = sp_max(tightest, length->tightest);
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

struct line_fit line_fit(const struct line_bar *bars, size_t first, size_t end, size_t count,
                         sp width)
{
    struct line_fit fit = {INFINITY, 0};
    if (opens_inside(bars, first, end))
        return fit;
    struct line_sum sum = sum_of(bars, first, end);
    double space = width - line_rigid(bars, first, end);
    bool last = line_is_last(bars, end, count) && sum.natural <= space;
    if (sum.least > space && (end - first == 1 || sum.rods > space)) {
        fit.cost = end - first == 1 ? 1e9 : INFINITY;
        return fit;
    }
    bool parted = first && bars[first - 1].sign == 2; /* from the bar that it follows */
    double line = HOUSE_COST_LINE + (last ? 0 : badness_of(sum.natural, sum.least, space));
    fit.cost = line * line +
               (last ? widow_cost(sum.natural, space, first == 0 || bars[first].opens) : 0) +
               (sum.least > space ? HOUSE_COST_UNEVEN : 0) + (parted ? HOUSE_COST_PARTED : 0);
    if (!last)
        fit.density = fmin(space / sum.natural, HOUSE_STRETCH_MOST / 1000.0);
    return fit;
}

/* A bar alone looks lost between lines of more, and worse than tight lines after one of more. */
static double alone_cost(const struct line_pair *pair)
{
    size_t before = pair->middle - pair->first, here = pair->end - pair->middle;
    bool first = before == 1 && here > 1 && pair->first > 0;
    bool second = here == 1 && before > 1 && pair->end < pair->count;
    bool last = here == 1 && before > 1 && pair->end == pair->count;
    return first || second ? HOUSE_COST_BAR_ALONE / 2.0 : last ? HOUSE_COST_LAST_ALONE : 0;
}

double line_pair_cost(const struct line_pair *pair)
{
    double cost = alone_cost(pair);
    if (pair->before > 0 && pair->here > 0) {
        double apart = fmax(pair->before, pair->here) / fmin(pair->before, pair->here) - 1;
        cost += HOUSE_COST_UNLIKE * apart * apart;
    }
    return cost;
}

/* ---- all lines that fit ------------------------------------------------------------------- */

struct node {
    struct line_fit fit;
    double total;    /* the least cost of lines up to this one */
    uint32_t before; /* the line before it */
};

struct nodes {
    VECTOR(struct node) items;
    uint32_t *first; /* of lines that end before a bar; the k-th of them has k + 1 bars */
};

static void node_find(const struct nodes *nodes, size_t first, size_t end, size_t count,
                      struct node *node)
{
    node->total = first ? INFINITY : node->fit.cost;
    for (uint32_t i = nodes->first[first]; i < nodes->first[first + 1]; i++) {
        const struct node *before = &nodes->items.items[i];
        struct line_pair pair = {first - (i - nodes->first[first]) - 1,
                                 first,
                                 end,
                                 count,
                                 before->fit.density,
                                 node->fit.density};
        double total = before->total + node->fit.cost + line_pair_cost(&pair);
        if (total < node->total) {
            node->total = total;
            node->before = i;
        }
    }
}

/* Whether no line from this bar or one before it fits, though the first bar were a sign. */
static bool is_hopeless(const struct line_bar *bars, size_t first, size_t end, sp width)
{
    if (first && bars[first - 1].sign == 2)
        first++; /* the sign begins before */
    else if (!bars[first].sign)
        return true;
    sp rods = 0;
    for (size_t i = first, sign; i < end; i += sign ? sign : 1) {
        sign = i + bars[i].sign <= end ? bars[i].sign : 0;
        rods += sign ? bars[i].as_sign.rods : bars[i].notes.rods;
    }
    return rods > width || (first < end && opens_inside(bars, first, end));
}

/* All lines that end before bar `end`. */
static void nodes_add(struct nodes *nodes, const struct line_bar *bars, size_t end, size_t count,
                      sp width)
{
    nodes->first[end] = (uint32_t)nodes->items.count;
    for (size_t first = end; first-- > 0;) {
        struct node node = {.fit = line_fit(bars, first, end, count, width)};
        if (node.fit.cost == INFINITY && is_hopeless(bars, first, end, width))
            break;
        node_find(nodes, first, end, count, &node);
        *vector_push(&nodes->items, NULL) = node;
    }
    nodes->first[end + 1] = (uint32_t)nodes->items.count;
}

/* Traces the chosen lines back from the last and reverses their order. */
static size_t nodes_trace(const struct nodes *nodes, size_t count, uint32_t *ends)
{
    size_t lines = 0;
    uint32_t best = nodes->first[count];
    for (uint32_t i = best; i < nodes->items.count; i++)
        if (nodes->items.items[i].total < nodes->items.items[best].total)
            best = i;
    for (size_t end = count; end > 0;) {
        size_t bars = best - nodes->first[end] + 1;
        ends[lines++] = (uint32_t)end;
        best = nodes->items.items[best].before;
        end -= bars;
    }
    for (size_t i = 0; i < lines / 2; i++) {
        uint32_t end = ends[i];
        ends[i] = ends[lines - 1 - i];
        ends[lines - 1 - i] = end;
    }
    return lines;
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

static size_t lines_of(const struct line_bar *bars, unsigned per_line, bool pickup, size_t count,
                       uint32_t *ends)
{
    size_t lines = 0, first = 0;
    for (size_t end = 1; end <= count; end++)
        if (end - first == per_line + (pickup && lines == 0) || line_is_last(bars, end, count)) {
            ends[lines++] = (uint32_t)end;
            first = end;
        }
    return lines;
}

size_t lines_break(const struct line_bar *bars, size_t count, sp width, unsigned per_line,
                   bool pickup, uint32_t *ends)
{
    if (per_line)
        return lines_of(bars, per_line, pickup, count, ends);
    if (!count)
        return 0;
    struct nodes nodes = {.first = memory_alloc((count + 2) * sizeof *nodes.first)};
    nodes.first[0] = 0;
    for (size_t end = 1; end <= count; end++)
        nodes_add(&nodes, bars, end, count, width);
    size_t lines = nodes_trace(&nodes, count, ends);
    vector_release(&nodes.items);
    memory_free(nodes.first);
    return lines;
}
