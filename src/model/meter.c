#include "model/meter.h"

#include <string.h>

static unsigned units_in_bar(const struct meter *meter)
{
    unsigned units = 0;
    for (size_t i = 0; i < meter->group_count; i++)
        units += meter->groups[i];
    return units;
}

struct fraction meter_length(const struct meter *meter)
{
    return fraction_make(units_in_bar(meter), meter->unit);
}

struct beat_writer {
    struct beat *beats;
    size_t count;
    unsigned units_before;
    unsigned unit;
};

static void add_beat(struct beat_writer *writer, unsigned units)
{
    if (writer->count == METER_BEATS_MAX)
        return;
    writer->beats[writer->count++] = (struct beat){
        .start = fraction_make(writer->units_before, writer->unit),
        .length = fraction_make(units, writer->unit),
        .kind = units % 3 == 0 ? BEAT_COMPOUND : BEAT_SIMPLE,
    };
    writer->units_before += units;
}

/* Threes if they fit; otherwise twos, with a three at the end if the number is odd. */
static void add_divided(struct beat_writer *writer, unsigned units)
{
    if (units % 3 == 0) {
        for (; units; units -= 3)
            add_beat(writer, 3);
        return;
    }
    for (; units > 3; units -= 2)
        add_beat(writer, 2);
    if (units)
        add_beat(writer, units);
}

static bool is_one_beat(unsigned units)
{
    return units == 1 || units == 2 || units == 3 || units == 4 || units == 6 || units == 12;
}

size_t meter_beats(const struct meter *meter, struct beat beats[METER_BEATS_MAX])
{
    struct beat_writer writer = {.beats = beats, .unit = meter->unit};
    for (size_t i = 0; i < meter->group_count; i++) {
        unsigned units = meter->groups[i];
        if (meter->unit <= 4)
            for (; units; units--)
                add_beat(&writer, 1);
        else if (meter->group_count > 1 && is_one_beat(units))
            add_beat(&writer, units);
        else
            add_divided(&writer, units);
    }
    return writer.count;
}

bool meter_equal(const struct meter *a, const struct meter *b)
{
    return a->unit == b->unit && a->group_count == b->group_count &&
           memcmp(a->groups, b->groups, a->group_count) == 0;
}
