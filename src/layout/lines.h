#ifndef RATAMARK_LAYOUT_LINES_H
#define RATAMARK_LAYOUT_LINES_H
/* Where the lines of an exercise break. */
#include "model/metrics.h"

/* The length of a bar: of its lead and columns. */
struct bar_length {
    sp natural, least; /* set naturally, and at its tightest */
    sp tightest;       /* the stretch of `least`, per thousand: the bars of a line share it */
    sp rods;           /* as close as ink allows, if unevenly: only so that no bar stands alone */
};

/* What breaking knows of a bar. A sign can stand for it, or for it and the bar after it, but not
   where it begins a line or where the line ends between the two. */
struct line_bar {
    struct bar_length notes, as_sign;
    sp opening, between, ending; /* the room before it at a line's start, after it inside a line,
                                    after it at a line's end */
    uint8_t sign;                /* for how many bars the sign stands; 0: there is none */
    bool opens;                  /* always begins a line */
};

/* Whether the line that ends here is the last, or the last before a bar that opens one. */
static inline bool line_is_last(const struct line_bar *bars, size_t end, size_t count)
{
    return end == count || bars[end].opens;
}

/* A line by itself: what it costs, INFINITY if its bars do not fit, unless it is a single one, or
   if one of them opens another line; and how far its springs are stretched, less than 1: squeezed.
   A last line that is not full takes any density (0). */
struct line_fit {
    double cost, density;
};
/* Bars [first, end) out of `count`. */
struct line_fit line_fit(const struct line_bar *bars, size_t first, size_t end, size_t count,
                         sp width);
/* What two lines that follow each other cost because they differ: bars [first, middle) and [middle,
   end). */
struct line_pair {
    size_t first, middle, end, count;
    double before, here; /* their densities */
};
double line_pair_cost(const struct line_pair *pair);
/* For how many bars a sign stands at this place of the line [first, end); 0: the bar has notes. */
static inline size_t line_sign(const struct line_bar *bars, size_t i, size_t first, size_t end)
{
    return i > first && i + bars[i].sign <= end ? bars[i].sign : 0;
}
/* The length of bars [first, end), set at their tightest, without the room between them. */
double line_shortest(const struct line_bar *bars, size_t first, size_t end);
/* All that a line takes at its tightest. */
sp line_needs(const struct line_bar *bars, size_t first, size_t end);
/* Least total cost: ends[k] is the bar after line k's last. Returns how many lines. `per_line`: so
   many bars in each at most, and a `pickup` before those of the first; 0: as the cost says. */
size_t lines_break(const struct line_bar *bars, size_t count, sp width, unsigned per_line,
                   bool pickup, uint32_t *ends);

/* Where a piece of a row may end, while the row is broken at least cost: a line of bars, a page of
   blocks. */
struct stop {
    double total;  /* the least cost of pieces that end here; 0 at the row's start */
    uint32_t from; /* where the last of them begins */
};
/* Notes a piece, if it is the cheapest so far that ends there. */
static inline void stop_offer(struct stop *stops, size_t from, size_t end, double cost)
{
    if (stops[from].total + cost < stops[end].total)
        stops[end] = (struct stop){stops[from].total + cost, (uint32_t)from};
}
/* Writes the ends of all pieces, first to last; returns how many. */
size_t stops_trace(const struct stop *stops, size_t count, uint32_t *ends);

#endif
