/*
 * `swing` is the first note's share of a pair. A pair is two slots of the bar's subdivision, but
 * never more than two eighths; with triplets or without a subdivision it is two eighths. Shorter
 * notes within a half of the pair are stretched along with it. A tuplet is played evenly between
 * the places to which swing moves its two ends. All of it is exact: fractions in, fractions out.
 */
#include "model/swing.h"

static const struct fraction quarter = {1, 4}, half = {1, 2};

bool swing_is_straight(const struct score_bar *bar)
{
    struct fraction swing = bar->settings->swing;
    return swing.numerator == 0 || swing.denominator == 0 || fraction_equal(swing, half);
}

/* The length of the pairs in this beat; zero if no whole number of them fills it. */
static struct fraction pair_of(const struct score_bar *bar, size_t index)
{
    const struct score_beat *at = &bar->beats[index];
    const struct subdivisions *set = bar->settings->subdivisions;
    struct beat beat = {at->start, at->length, (enum beat_kind)at->kind};
    struct division division;
    struct fraction pair = quarter;
    if (set && set->count && subdivision_divide(set->items[index % set->count], &beat, &division) &&
        division.tuplet_actual == 0 && division.beats == 1) {
        struct fraction two = fraction_add(division.slot, division.slot);
        if (fraction_compare(two, quarter) < 0)
            pair = two;
    }
    return fraction_divide(at->length, pair).denominator == 1 ? pair : FRACTION_ZERO;
}

static struct fraction swung(const struct score_bar *bar, struct fraction at)
{
    size_t index = bar_beat_at(bar, at);
    struct fraction pair = pair_of(bar, index), share = bar->settings->swing;
    if (pair.numerator == 0)
        return at;
    struct fraction pairs = fraction_divide(fraction_subtract(at, bar->beats[index].start), pair);
    struct fraction whole = fraction_make(fraction_floor(pairs), 1);
    struct fraction part = fraction_subtract(pairs, whole); /* of the pair, from 0 to below 1 */
    if (fraction_compare(part, half) < 0) {
        part = fraction_multiply(fraction_multiply(part, fraction_make(2, 1)), share);
    } else {
        struct fraction rest = fraction_subtract(FRACTION_ONE, share);
        struct fraction late =
            fraction_multiply(fraction_subtract(part, half), fraction_make(2, 1));
        part = fraction_add(share, fraction_multiply(late, rest));
    }
    return fraction_add(bar->beats[index].start,
                        fraction_multiply(pair, fraction_add(whole, part)));
}

struct swung_time swing_leaf(const struct score_bar *bar, const struct score_line *line,
                             const struct leaf *leaf)
{
    struct fraction end = fraction_add(leaf->onset, leaf->length);
    if (swing_is_straight(bar))
        return (struct swung_time){leaf->onset, end};
    const struct tuplet *tuplet = leaf_outermost(line, leaf);
    if (!tuplet)
        return (struct swung_time){swung(bar, leaf->onset), swung(bar, end)};
    struct fraction from = swung(bar, tuplet->onset);
    struct fraction to = swung(bar, fraction_add(tuplet->onset, tuplet->length));
    struct fraction stretch = fraction_divide(fraction_subtract(to, from), tuplet->length);
    struct fraction onset = fraction_add(
        from, fraction_multiply(fraction_subtract(leaf->onset, tuplet->onset), stretch));
    return (struct swung_time){onset,
                               fraction_add(onset, fraction_multiply(leaf->length, stretch))};
}

struct fraction swing_moment(const struct score_bar *bar, struct fraction at)
{
    if (swing_is_straight(bar))
        return at;
    for (int l = 0; l < LINE_COUNT; l++)
        for (uint32_t i = 0; i < bar->lines[l].leaf_count; i++)
            if (fraction_equal(bar->lines[l].leaves[i].onset, at))
                return swing_leaf(bar, &bar->lines[l], &bar->lines[l].leaves[i]).from;
    return swung(bar, at);
}
