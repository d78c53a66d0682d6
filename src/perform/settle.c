/*
 * The end of performing: every stroke gets its exact place in time.
 *
 *     the ticks of a quarter that hold every written stroke and tempo     written_division()
 *     the finest grid that those ticks can be extended by                 ornament_grid()
 *     each grace stroke and bounce on the nearest point of that grid,
 *         never on its own note's moment                                  on_grid()
 *         and never before the beginning                                  from_beginning()
 *     all strokes by time, part, key and velocity                         earlier()
 *
 * So a MIDI file can count everything in whole ticks, unless the written moments alone need more
 * than DIVISION_MAX a quarter; then the division is 0, and midi.c rounds.
 */
#include "perform/perform_int.h"

#include <math.h>
#include <stdlib.h>

/* The ticks of a quarter that also hold this moment; 0 if that is more than DIVISION_MAX. */
static int64_t division_with(int64_t division, struct fraction moment)
{
    if (!division)
        return 0;
    int64_t own = fraction_multiply(moment, fraction_make(4, 1)).denominator;
    int64_t both = least_common_multiple(division, own);
    return both > DIVISION_MAX ? 0 : both;
}

static int64_t written_division(const struct performer *performer)
{
    int64_t division = division_with(1, performer->now);
    for (size_t i = 0; i < performer->strikes.count; i++)
        if (performer->strikes.items[i].strike.kind == STRIKE_WRITTEN)
            division = division_with(division, performer->strikes.items[i].strike.at);
    for (size_t i = 0; i < performer->tempos.count; i++)
        division = division_with(division, performer->tempos.items[i].at);
    return division;
}

/* In parts of a quarter; a 960th is a millisecond at 60 quarters a minute. */
static int64_t ornament_grid(int64_t written)
{
    static const int64_t grids[] = {960, 480, 240, 120, 96, 48, 24, 12};
    for (size_t i = 0; written && i < sizeof grids / sizeof *grids; i++) {
        int64_t both = least_common_multiple(written, grids[i]);
        if (both && both <= DIVISION_MAX)
            return grids[i];
    }
    return written ? written : grids[0];
}

static struct fraction on_grid(const struct loose_strike *loose, int64_t grid)
{
    double quarters = (double)loose->microseconds / 60e6 * 4 * fraction_to_double(loose->wholes);
    long long steps = llround(quarters * (double)grid);
    if (steps == 0)
        steps = loose->microseconds < 0 ? -1 : 1;
    struct fraction at = fraction_add(loose->strike.at, fraction_make(steps, 4 * grid));
    return fraction_ok(at) ? at : loose->strike.at;
}

/* A moment before the beginning becomes the beginning; in a loop it wraps to the end, as often as
   a short loop needs. */
static struct fraction from_beginning(const struct performance *out, struct fraction at)
{
    if (at.numerator < 0 && !out->loop)
        return FRACTION_ZERO;
    while (at.numerator < 0)
        at = fraction_add(at, out->length);
    return at;
}

static int earlier(const void *left, const void *right)
{
    const struct strike *a = left, *b = right;
    int order = fraction_compare(a->at, b->at);
    if (!order)
        order = a->part - b->part;
    if (!order)
        order = a->key - b->key;
    if (!order)
        order = a->velocity - b->velocity;
    if (!order)
        order = a->line - b->line;
    return order ? order : a->limb - b->limb;
}

static void copy_strikes(struct performer *performer, struct performance *out, int64_t grid)
{
    out->strike_count = performer->strikes.count;
    out->strikes = arena_array_room(performer->arena, out->strike_count, sizeof *out->strikes);
    for (size_t i = 0; i < out->strike_count; i++) {
        const struct loose_strike *loose = &performer->strikes.items[i];
        struct strike *strike = &out->strikes[i];
        *strike = loose->strike;
        if (strike->kind != STRIKE_WRITTEN)
            strike->at = from_beginning(out, on_grid(loose, grid));
    }
    qsort(out->strikes, out->strike_count, sizeof *out->strikes, earlier);
}

struct performance *settle(struct performer *performer)
{
    struct performance *out = arena_alloc(performer->arena, sizeof *out);
    int64_t written = written_division(performer), grid = ornament_grid(written);
    out->length = performer->now;
    out->loop = performer->options->loop;
    out->division = written ? (uint32_t)least_common_multiple(written, grid) : 0;
    copy_strikes(performer, out, grid);
    out->tempos = performer->tempos.items;
    out->tempo_count = performer->tempos.count;
    out->meters = performer->meters.items;
    out->meter_count = performer->meters.count;
    out->markers = performer->markers.items;
    out->marker_count = performer->markers.count;
    return out;
}
