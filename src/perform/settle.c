/* The last of it: grace strokes and bounces on a grid, all strokes in the order of time. */
#include "perform/perform_int.h"

#include <math.h>
#include <stdlib.h>

/* Ticks of a quarter that hold every written moment; 0 where it would be more than DIVISION_MAX. */
static int64_t written_division(const struct performer *performer)
{
    int64_t division = 1;
#define TAKE(moment)                                                                               \
    if (division) {                                                                                \
        int64_t of = fraction_multiply((moment), fraction_make(4, 1)).denominator;                 \
        division = least_common_multiple(division, of);                                            \
        division = division > DIVISION_MAX ? 0 : division;                                         \
    }
    for (size_t i = 0; i < performer->strikes.count; i++)
        if (performer->strikes.items[i].strike.kind == STRIKE_WRITTEN)
            TAKE(performer->strikes.items[i].strike.at)
    for (size_t i = 0; i < performer->tempi.count; i++)
        TAKE(performer->tempi.items[i].at)
    TAKE(performer->now)
#undef TAKE
    return division;
}

/* The finest of these that go into one division with what is written: a 960th of a quarter is a
   millisecond at 60. */
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

/* What falls before the beginning falls there, or in a loop as much before its end, which may be
   more than once around. */
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
    return order ? order : a->velocity - b->velocity;
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
    out->tempi = performer->tempi.items;
    out->tempo_count = performer->tempi.count;
    out->meters = performer->meters.items;
    out->meter_count = performer->meters.count;
    out->markers = performer->markers.items;
    out->marker_count = performer->markers.count;
    return out;
}
