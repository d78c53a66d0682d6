/* How fast each bar goes, as it is written: tempi, meters, and beats that go on through a change.
 */
#include "perform/perform_int.h"

static struct fraction note_length(const struct pulse_note *note)
{
    struct fraction length =
        fraction_make((2 << note->dots) - 1, (int64_t)1 << (note->value_log2 + note->dots));
    return note->tuplet == 3 ? fraction_multiply(length, fraction_make(2, 3)) : length;
}

static const struct tempo *tempo_of(const struct score_exercise *exercise,
                                    const struct score_bar *bar)
{
    return bar->settings->tempo ? bar->settings->tempo : exercise->tempo;
}

static struct fraction beat_of(const struct score_exercise *exercise, const struct score_bar *bar)
{
    const struct tempo *tempo = tempo_of(exercise, bar);
    return tempo ? tempo_beat(tempo, bar->meter) : tempo_meter_beat(bar->meter);
}

/* The bar that comes before on the page; before each ending that is the last one they share. */
static size_t bar_before(const struct score_exercise *exercise, size_t index)
{
    index--;
    if (exercise->bars[index + 1].ending_begins)
        while (index > 0 && exercise->bars[index].ending)
            index--;
    return index;
}

static struct fraction rate_of(const struct score_exercise *exercise, const struct fraction *rates,
                               size_t index)
{
    const struct score_bar *bar = &exercise->bars[index];
    const struct tempo *tempo = tempo_of(exercise, bar);
    size_t before = index ? bar_before(exercise, index) : 0;
    const struct score_bar *last = &exercise->bars[before];
    if (index == 0 || (!bar->pulse && tempo_of(exercise, last) != tempo))
        return fraction_multiply(fraction_make(tempo ? tempo->bpm[0] : PERFORM_TEMPO, 1),
                                 beat_of(exercise, bar));
    if (bar->pulse)
        return fraction_multiply(rates[before], fraction_divide(note_length(&bar->pulse->now),
                                                                note_length(&bar->pulse->before)));
    return fraction_multiply(rates[before],
                             fraction_divide(beat_of(exercise, bar), beat_of(exercise, last)));
}

struct fraction rate_of_bar(struct performer *performer, const struct score_exercise *exercise,
                            size_t index)
{
    size_t number = (size_t)(exercise - performer->score->exercises);
    if (!performer->rates[number]) {
        struct fraction *rates = arena_array(performer->arena, exercise->bar_count, sizeof *rates);
        for (size_t i = 0; i < exercise->bar_count; i++)
            rates[i] = rate_of(exercise, rates, i);
        performer->rates[number] = rates;
    }
    return performer->rates[number][index];
}
