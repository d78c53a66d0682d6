#include "layout/natural_space.h"
#include "layout/house.h"

#include <math.h>

/*
 * The shortest value that sounds at a column sets the pace (Gourlay 1987), so that a stretch of d
 * out of a value s takes sqrt(s) * d / s. Where one line moves alone that is sqrt(d). Hands and
 * feet that take turns in a beat are spaced as one line: sixteenths that they share are as far
 * apart as those of one hand.
 */

struct bar_space {
    struct work *work;
    const struct set_bar *set;
    const struct score_bar *bar;
};

static double natural_space(double gap, double shortest)
{
    if (shortest < gap)
        shortest = gap;
    return HOUSE_QUARTER_SPACE * sqrt(4 * shortest) * gap / shortest;
}

/* Where the whole grid is spoken its slots are read as if they sounded. */
static void grid_shortest(const struct bar_space *at, struct column *column, struct fraction *slot)
{
    if (column->count != NONE) {
        bool last = column->count + 1u == at->bar->count_count;
        struct fraction next = last ? fraction_add(at->bar->start, at->bar->length)
                                    : at->bar->counts[column->count + 1].onset;
        *slot = fraction_subtract(next, column->onset);
    }
    if (fraction_to_double(*slot) < column->shortest) {
        column->shortest = fraction_to_double(*slot);
        column->shortest_exact = *slot;
    }
}

/* What sounds of hands and feet at the columns so far. */
struct sounding {
    const struct leaf *leaf; /* NULL: nothing yet */
    struct fraction exact;
    double length;
};

static void sounding_take(const struct bar_space *at, int line, uint32_t leaf,
                          struct sounding *sounding)
{
    if (leaf == NONE)
        return;
    sounding->leaf = &at->bar->lines[line].leaves[leaf];
    sounding->exact = sounding->leaf->length;
    sounding->length = fraction_to_double(sounding->exact);
}

static uint16_t beat_of(const struct bar_space *at, const struct column *column)
{
    bool hands = column->hands != NONE;
    const struct score_line *line = &at->bar->lines[hands ? LINE_HANDS : LINE_FEET];
    uint32_t leaf = hands ? column->hands : column->feet;
    return leaf == NONE ? UINT16_MAX : line->leaves[leaf].beat;
}

/* Whether hand and foot strike together in the column. */
static bool is_met(const struct bar_space *at, const struct column *column)
{
    return column->hands != NONE && column->feet != NONE &&
           at->bar->lines[LINE_HANDS].leaves[column->hands].note &&
           at->bar->lines[LINE_FEET].leaves[column->feet].note;
}

static bool meet_in_beat(const struct bar_space *at, size_t index)
{
    const struct column *columns = at->work->columns.items;
    uint16_t beat = beat_of(at, &columns[index]);
    size_t first = index;
    while (first > at->set->columns.first && beat_of(at, &columns[first - 1]) == beat)
        first--;
    for (size_t i = first; i < at->set->columns.end && beat_of(at, &columns[i]) == beat; i++)
        if (is_met(at, &columns[i]))
            return true;
    return false;
}

/* Whether hands and feet take turns in the beat, in values of one grid: neither is in a tuplet. */
static bool take_turns(const struct bar_space *at, size_t index, const struct sounding *hands,
                       const struct sounding *feet)
{
    return !at->bar->hands_apart && hands->leaf && feet->leaf &&
           hands->leaf->tuplet == LEAF_NO_TUPLET && feet->leaf->tuplet == LEAF_NO_TUPLET &&
           !meet_in_beat(at, index);
}

/* A note is then as short as the time to the other's. */
static void cut_short(const struct bar_space *at, size_t index, struct fraction end)
{
    struct column *column = &at->work->columns.items[index];
    bool last = index + 1 == at->set->columns.end;
    if (!last && column[1].hands == NONE && column[1].feet == NONE)
        return;
    struct fraction gap = fraction_subtract(last ? end : column[1].onset, column->onset);
    if (fraction_to_double(gap) < column->shortest) {
        column->shortest_exact = gap;
        column->shortest = fraction_to_double(gap);
    }
}

void natural_space_set(struct work *work, struct set_bar *set)
{
    const struct bar_space bar = {work, set, set->bar}, *at = &bar;
    struct fraction end = fraction_add(at->bar->start, at->bar->length), slot = at->bar->length;
    struct sounding hands = {NULL, at->bar->length, 4}, feet = hands;
    bool grid = at->bar->settings->show->counts == SHOW_COUNTS_GRID;
    for (size_t i = at->set->columns.first; i < at->set->columns.end; i++) {
        struct column *column = &at->work->columns.items[i];
        bool last = i + 1 == at->set->columns.end;
        double next = fraction_to_double(last ? end : column[1].onset);
        sounding_take(at, LINE_HANDS, column->hands, &hands);
        sounding_take(at, LINE_FEET, column->feet, &feet);
        const struct sounding *shorter = hands.length < feet.length ? &hands : &feet;
        column->shortest_exact = shorter->exact;
        column->shortest = shorter->length;
        if (take_turns(at, i, &hands, &feet))
            cut_short(at, i, end);
        if (grid)
            grid_shortest(at, column, &slot);
        double natural = natural_space(next - fraction_to_double(column->onset), column->shortest);
        at->work->springs.items[i].natural =
            last ? natural * (HOUSE_CLOSING_GAP / 1000.0) : natural;
    }
}
