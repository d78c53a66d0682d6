/*
 * Finds the cheapest way to write one span (costs: enum spelling_cost).
 *
 *     1. collect_tuplets() lists the tuplets that may be written over blocks of the span's slots.
 *     2. fill_row() goes from the last slot to the first. At each slot it tries every symbol (note,
 *        rest, continuation) that may start there, of every length up to the next stroke, and every
 *        tuplet; it keeps the one with the least cost from there to the end.
 *     3. The inside of a tuplet is a row of its own, filled the same way.
 *     4. Read from the first slot on, the kept steps are the spelling.
 */
#include "build/spelling.h"

#include <assert.h>
#include <string.h>

enum { STRONGEST = 15, TUPLETS_TRIED_MAX = 6, VALUE_SMALLEST = 7 };
static const uint32_t UNREACHED = UINT32_MAX; /* cannot be written */

/* A tuplet that may be written over a block of slots. */
struct tried_tuplet {
    uint8_t block; /* slots it fills; it starts on a multiple of them */
    uint8_t step;  /* slots to one of its units */
    uint8_t actual, normal, unit_log2;
};

/* What is being spelled. */
struct search {
    const struct division *division;
    enum beat_kind kind;
    struct spelling_onsets onsets;
    struct tried_tuplet tried[TUPLETS_TRIED_MAX];
    size_t tried_count;
};

/* The slots that one search fills: the beat, or the inside of a tuplet. */
struct row {
    const struct tried_tuplet *tuplet; /* NULL: the beat itself */
    uint8_t start, end;                /* slots */
};

/* The cheapest next step from a slot: a symbol of some length, or a tuplet. */
struct step {
    uint32_t cost; /* from here to the end of the row */
    uint8_t slots, value_log2, dots;
    const struct tried_tuplet *tuplet;
};

/* ---- tuplets that may be tried ------------------------------------------------------------ */

static void try_tuplet(struct search *search, unsigned block, unsigned step, unsigned actual,
                       unsigned normal, unsigned unit_log2)
{
    if (search->tried_count < TUPLETS_TRIED_MAX)
        search->tried[search->tried_count++] = (struct tried_tuplet){
            (uint8_t)block, (uint8_t)step, (uint8_t)actual, (uint8_t)normal, (uint8_t)unit_log2};
}

/* The grid's own tuplet; the same tuplet over two, four ... times its length in longer values (two
   sixteenth triplets become one of eighths); and half of a sextuplet as a triplet, which is tried
   first so that it wins ties. */
static void collect_tuplets(struct search *search)
{
    const struct division *d = search->division;
    if (!d->tuplet_actual)
        return;
    if (d->tuplet_actual == 6 && d->value_log2 > 0)
        try_tuplet(search, 6, 2, 3, d->tuplet_normal / 2u, d->value_log2 - 1u);
    for (unsigned times = 1, log2 = 0; d->tuplet_count % times == 0 && log2 <= d->value_log2;
         times *= 2, log2++)
        try_tuplet(search, times * d->tuplet_actual, times, d->tuplet_actual, d->tuplet_normal,
                   d->value_log2 - log2);
}

/* ---- values ------------------------------------------------------------------------------- */

/* `units` of 2^-unit_log2 as one written value. */
static bool value_of_units(unsigned units, unsigned unit_log2, int dots_most, uint8_t *value_log2,
                           uint8_t *dots)
{
    if (units == 0)
        return false;
    unsigned zeros = (unsigned)__builtin_ctz(units), odd = units >> zeros;
    int dot_count = odd == 1 ? 0 : odd == 3 ? 1 : odd == 7 ? 2 : 3;
    unsigned shift = zeros + (unsigned)dot_count;
    if (dot_count > dots_most || dot_count > 2 || shift > unit_log2)
        return false;
    *value_log2 = (uint8_t)(unit_log2 - shift);
    *dots = (uint8_t)dot_count;
    return true;
}

bool spelling_value(struct fraction length, int dots_most, uint8_t *value_log2, uint8_t *dots)
{
    int64_t denominator = length.denominator;
    if (length.numerator <= 0 || length.numerator > 1 << 16 || denominator <= 0 ||
        denominator > 1 << 9 || (denominator & (denominator - 1)) != 0)
        return false;
    return value_of_units((unsigned)length.numerator,
                          (unsigned)__builtin_ctzll((uint64_t)denominator), dots_most, value_log2,
                          dots);
}

/* The slot as units of the row's written value, counted from the start of the beat or tuplet. False
   if it is not a whole number: a plain value in a grid of tuplets cannot start or end there. */
static bool row_units(const struct search *search, const struct row *row, unsigned slot,
                      unsigned *units)
{
    const struct division *d = search->division;
    unsigned parts = slot, parts_to_unit = 1;
    if (row->tuplet) {
        parts = slot - row->start;
        parts_to_unit = row->tuplet->step;
    } else if (d->tuplet_actual) {
        parts = slot * d->tuplet_normal;
        parts_to_unit = d->tuplet_actual;
    }
    *units = parts / parts_to_unit;
    return parts % parts_to_unit == 0;
}

/* How strong a place is metrically: how many levels above the shortest unit. */
static unsigned strength(const struct search *search, const struct row *row, unsigned units)
{
    if (units == 0)
        return STRONGEST;
    if (row->tuplet)
        return row->tuplet->actual % 2 == 0 && units % 2 == 0;
    if (search->kind == BEAT_COMPOUND) {
        unsigned all = 0;
        row_units(search, row, search->division->slots, &all);
        unsigned pulse = all / 3;
        if (pulse && units % pulse == 0)
            return (unsigned)__builtin_ctz(pulse);
    }
    return (unsigned)__builtin_ctz(units);
}

/* How many levels stronger than its own start the strongest place is that a value sounds across. */
static unsigned levels_crossed(const struct search *search, const struct row *row, unsigned from,
                               unsigned to)
{
    unsigned start_units = 0, units;
    row_units(search, row, from, &start_units);
    unsigned start = strength(search, row, start_units), strongest = start;
    for (unsigned slot = from + 1; slot < to; slot++) {
        if (!row_units(search, row, slot, &units))
            continue;
        unsigned here = strength(search, row, units);
        strongest = here > strongest ? here : strongest;
    }
    return strongest - start;
}

static bool struck_at(const struct search *search, unsigned slot)
{
    return search->onsets.struck >> slot & 1;
}

static unsigned next_onset(const struct search *search, unsigned slot)
{
    uint64_t later = slot >= 63 ? 0 : search->onsets.struck >> (slot + 1);
    unsigned slots = search->division->slots;
    unsigned next = later ? slot + 1 + (unsigned)__builtin_ctzll(later) : slots;
    return next < slots ? next : slots;
}

/* The only kind of symbol that can start at this slot. */
static enum symbol_kind kind_at(const struct search *search, unsigned slot)
{
    if (struck_at(search, slot))
        return SYMBOL_NOTE;
    uint64_t before = search->onsets.struck & (((uint64_t)1 << slot) - 1);
    bool held = before ? search->onsets.sustained >> (63 - __builtin_clzll(before)) & 1
                       : search->onsets.held_in;
    return held ? SYMBOL_CONTINUED : SYMBOL_REST;
}

static int dots_allowed(const struct search *search, const struct row *row, enum symbol_kind kind)
{
    if (kind == SYMBOL_REST)
        return !row->tuplet && search->kind == BEAT_COMPOUND ? 1 : 0;
    return row->tuplet ? 1 : 2;
}

static uint32_t symbol_cost(const struct search *search, const struct row *row,
                            enum symbol_kind kind, unsigned from, unsigned to, unsigned dots)
{
    uint32_t cost = COST_SYMBOL + COST_CROSSING * levels_crossed(search, row, from, to);
    cost += dots > 0 ? COST_DOT : 0;
    cost += dots > 1 ? COST_SECOND_DOT : 0;
    cost += kind == SYMBOL_REST ? COST_REST : 0;
    cost += kind == SYMBOL_CONTINUED ? COST_TIE : 0;
    if (kind == SYMBOL_REST && search->kind == BEAT_COMPOUND && !row->tuplet && from != 0 &&
        (to - from) * 3 > search->division->slots)
        cost += COST_LATE_LONG_REST;
    return cost;
}

/* ---- search ------------------------------------------------------------------------------- */

static void consider(struct step *best, struct step candidate, uint32_t rest)
{
    if (rest == UNREACHED || candidate.cost == UNREACHED)
        return;
    candidate.cost += rest;
    if (candidate.cost < best->cost)
        *best = candidate;
}

/* Longest first, so that a longer first symbol wins ties. */
static void consider_symbols(const struct search *search, const struct row *row, unsigned from,
                             struct step *steps)
{
    enum symbol_kind kind = kind_at(search, from);
    unsigned limit = next_onset(search, from), start, end;
    unsigned unit_log2 = row->tuplet ? row->tuplet->unit_log2 : search->division->value_log2;
    if (!row_units(search, row, from, &start))
        return;
    for (unsigned to = limit < row->end ? limit : row->end; to > from; to--) {
        struct step step = {.slots = (uint8_t)(to - from)};
        if (!row_units(search, row, to, &end) ||
            !value_of_units(end - start, unit_log2, dots_allowed(search, row, kind),
                            &step.value_log2, &step.dots))
            continue;
        step.cost = symbol_cost(search, row, kind, from, to, step.dots);
        consider(&steps[from], step, steps[to].cost);
    }
}

static void fill_row(const struct search *search, const struct row *row, struct step *steps);

static void consider_tuplets(const struct search *search, const struct row *row, unsigned from,
                             struct step *steps)
{
    for (size_t i = 0; i < search->tried_count; i++) {
        const struct tried_tuplet *tuplet = &search->tried[i];
        unsigned to = from + tuplet->block;
        if (from % tuplet->block != 0 || to > row->end)
            continue;
        struct step inside[SPELLING_SLOTS_MAX + 1];
        fill_row(search, &(struct row){tuplet, (uint8_t)from, (uint8_t)to}, inside);
        struct step step = {.slots = tuplet->block, .tuplet = tuplet, .cost = inside[from].cost};
        if (step.cost != UNREACHED)
            step.cost += COST_TUPLET;
        consider(&steps[from], step, steps[to].cost);
    }
}

static void fill_row(const struct search *search, const struct row *row, struct step *steps)
{
    steps[row->end] = (struct step){0};
    for (unsigned from = row->end; from-- > row->start;) {
        steps[from] = (struct step){.cost = UNREACHED};
        consider_symbols(search, row, from, steps);
        if (!row->tuplet)
            consider_tuplets(search, row, from, steps);
    }
}

/* ---- writing the result ------------------------------------------------------------------- */

static void write_symbols(const struct search *search, const struct row *row,
                          const struct step *steps, uint8_t tuplet, struct spelling *out);

static void write_tuplet(const struct search *search, const struct tried_tuplet *tuplet,
                         unsigned from, struct spelling *out)
{
    struct step inside[SPELLING_SLOTS_MAX + 1];
    struct row row = {tuplet, (uint8_t)from, (uint8_t)(from + tuplet->block)};
    fill_row(search, &row, inside);
    uint8_t index = out->tuplet_count++, first = out->symbol_count;
    write_symbols(search, &row, inside, index, out);
    out->tuplets[index] = (struct spelled_tuplet){.slot = row.start,
                                                  .slots = tuplet->block,
                                                  .first = first,
                                                  .end = out->symbol_count,
                                                  .actual = tuplet->actual,
                                                  .normal = tuplet->normal,
                                                  .unit_log2 = tuplet->unit_log2};
}

static void write_symbols(const struct search *search, const struct row *row,
                          const struct step *steps, uint8_t tuplet, struct spelling *out)
{
    for (unsigned slot = row->start; slot < row->end; slot += steps[slot].slots) {
        const struct step *step = &steps[slot];
        if (step->tuplet)
            write_tuplet(search, step->tuplet, slot, out);
        else
            out->symbols[out->symbol_count++] =
                (struct spelled_symbol){.slot = (uint8_t)slot,
                                        .slots = step->slots,
                                        .kind = (uint8_t)kind_at(search, slot),
                                        .value_log2 = step->value_log2,
                                        .dots = step->dots,
                                        .tuplet = tuplet};
    }
}

void spelling_search(const struct division *division, enum beat_kind kind,
                     struct spelling_onsets onsets, struct spelling *out)
{
    assert(division->slots >= 1 && division->slots <= SPELLING_SLOTS_MAX);
    struct search search = {.division = division, .kind = kind, .onsets = onsets};
    collect_tuplets(&search);
    struct step steps[SPELLING_SLOTS_MAX + 1];
    struct row row = {NULL, onsets.first, (uint8_t)division->slots};
    fill_row(&search, &row, steps);
    assert(steps[row.start].cost != UNREACHED);
    out->symbol_count = out->tuplet_count = 0;
    out->cost = steps[row.start].cost;
    write_symbols(&search, &row, steps, SPELLING_NO_TUPLET, out);
}

/* ---- rests over several beats ------------------------------------------------------------- */

static bool power_of_two(size_t n)
{
    return n && (n & (n - 1)) == 0;
}

static bool beats_equal(const struct beat *beats, size_t first, size_t end)
{
    for (size_t i = first + 1; i < end; i++)
        if (beats[i].kind != beats[first].kind ||
            !fraction_equal(beats[i].length, beats[first].length))
            return false;
    return true;
}

/* The beats that a rest may not leave: its group of the meter (as in 3+2/4), or the bar. */
static void rest_group(const struct meter *meter, size_t beat_count, size_t beat, size_t *first,
                       size_t *end)
{
    *first = 0;
    *end = beat_count;
    if (meter->unit > 4 || meter->group_count < 2)
        return;
    for (size_t i = 0, start = 0; i < meter->group_count; start += meter->groups[i++])
        if (beat >= start && beat < start + meter->groups[i]) {
            *first = start;
            *end = start + meter->groups[i];
        }
}

size_t spelling_rest_beats(const struct meter *meter, const struct beat *beats, size_t beat_count,
                           size_t first)
{
    size_t group_first, group_end, most = 1;
    rest_group(meter, beat_count, first, &group_first, &group_end);
    size_t size = group_end - group_first, offset = first - group_first;
    if (!power_of_two(size) || !beats_equal(beats, group_first, group_end))
        return 1;
    uint8_t value_log2, dots;
    for (size_t n = 2; n <= size && offset % n == 0; n *= 2) {
        struct fraction length =
            fraction_multiply(beats[first].length, fraction_make((int64_t)n, 1));
        if (spelling_value(length, beats[first].kind == BEAT_COMPOUND, &value_log2, &dots))
            most = n;
    }
    return most;
}
