#include "model/tempo.h"

#include <stdio.h>

const char *tempo_text(uint32_t hundredths, char room[TEMPO_TEXT_ROOM])
{
    unsigned whole = hundredths / TEMPO_ONE, rest = hundredths % TEMPO_ONE;
    if (rest == 0)
        snprintf(room, TEMPO_TEXT_ROOM, "%u", whole);
    else if (rest % 10 == 0)
        snprintf(room, TEMPO_TEXT_ROOM, "%u.%u", whole, rest / 10);
    else
        snprintf(room, TEMPO_TEXT_ROOM, "%u.%02u", whole, rest);
    return room;
}

struct fraction tempo_meter_beat(const struct meter *meter)
{
    struct beat beats[METER_BEATS_MAX];
    size_t count = meter_beats(meter, beats);
    for (size_t i = 1; i < count; i++)
        if (!fraction_equal(beats[i].length, beats[0].length))
            return fraction_make(1, meter->unit);
    return beats[0].length;
}

struct fraction tempo_beat(const struct tempo *tempo, const struct meter *meter)
{
    if (!tempo || tempo->unit_log2 == 0xFF)
        return tempo_meter_beat(meter);
    return value_length(tempo->unit_log2, tempo->unit_dots);
}

/* The step between rungs, in whole beats: a divisor that gives about six, otherwise a round number
 * of beats. */
static unsigned rung_step(unsigned range)
{
    static const unsigned parts[] = {6, 5, 7, 4, 8, 3};
    static const unsigned steps[] = {1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100, 200};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (range % parts[i] == 0)
            return range / parts[i];
    size_t pick = 0;
    while (pick + 1 < sizeof steps / sizeof *steps && steps[pick] * parts[0] < range)
        pick++;
    return steps[pick];
}

static size_t range_rungs(unsigned low, unsigned high, unsigned rungs[TEMPO_RUNGS_MAX])
{
    size_t count = 0;
    unsigned beats = (high - low) / TEMPO_ONE, step = beats ? rung_step(beats) * TEMPO_ONE : high;
    for (unsigned tempo = low; tempo < high && count + 1 < TEMPO_RUNGS_MAX; tempo += step)
        rungs[count++] = tempo;
    if (count > 1 && high - rungs[count - 1] < (rungs[1] - rungs[0] + 1) / 2)
        count--; /* it would crowd the goal */
    rungs[count++] = high;
    return count;
}

size_t tempo_rungs(const struct tempo *tempo, unsigned rungs[TEMPO_RUNGS_MAX])
{
    const uint32_t *tempos = tempo->hundredths;
    if (tempo->gradual) {
        rungs[0] = tempos[0];
        return 1;
    }
    if (tempo->range && tempos[0] < tempos[1])
        return range_rungs(tempos[0], tempos[1], rungs);
    size_t count = 0;
    for (; count < tempo->count && count < TEMPO_RUNGS_MAX; count++)
        rungs[count] = tempos[count];
    return count;
}

size_t tempo_rungs_to(uint32_t tenths, struct fraction beat, unsigned rungs[TEMPO_RUNGS_MAX])
{
    unsigned goal = (unsigned)((int64_t)tenths * beat.denominator / (40 * beat.numerator));
    unsigned start = (goal * 6 + 5) / 10, step = (goal - start + 3) / 7;
    size_t count = 0;
    step = step ? step : 1;
    for (unsigned bpm = start ? start : 1; bpm + (step + 1) / 2 <= goal; bpm += step)
        rungs[count++] = bpm * TEMPO_ONE;
    rungs[count++] = goal * TEMPO_ONE;
    return count;
}
