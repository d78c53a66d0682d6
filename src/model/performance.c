#include "model/performance.h"

#include "base/vector.h"

#include <math.h>

struct fraction tempo_seconds(struct fraction length, struct fraction wholes_a_minute)
{
    return fraction_divide(fraction_multiply(length, fraction_make(60, 1)), wholes_a_minute);
}

/* The last change at or before the moment: the map has few, but a long file asks often. */
static const struct tempo_change *tempo_at(const struct performance *performance,
                                           struct fraction at)
{
    const struct tempo_change *tempos = performance->tempos;
    size_t after;
    lower_bound(after, 1, performance->tempo_count, fraction_compare(tempos[after].at, at) <= 0);
    return &tempos[after - 1];
}

static struct fraction exact_seconds(const struct performance *performance, struct fraction at)
{
    const struct tempo_change *tempo = tempo_at(performance, at);
    return fraction_add(tempo->seconds,
                        tempo_seconds(fraction_subtract(at, tempo->at), tempo->wholes));
}

double performance_seconds(const struct performance *performance, struct fraction at)
{
    struct fraction seconds = exact_seconds(performance, at);
    if (fraction_ok(seconds))
        return fraction_to_double(seconds);
    const struct tempo_change *tempo = tempo_at(performance, at);
    return fraction_to_double(tempo->seconds) +
           60 * (fraction_to_double(at) - fraction_to_double(tempo->at)) /
               fraction_to_double(tempo->wholes);
}

int64_t performance_frame(const struct performance *performance, struct fraction at, uint32_t rate)
{
    struct fraction frame =
        fraction_add(fraction_multiply(exact_seconds(performance, at), fraction_make(rate, 1)),
                     fraction_make(1, 2));
    if (fraction_ok(frame))
        return fraction_floor(frame);
    return llround(performance_seconds(performance, at) * rate);
}
