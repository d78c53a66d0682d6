#include "model/pace.h"

#include "base/arena.h"

static struct fraction note_length(const struct pulse_note *note)
{
    struct fraction length = value_length(note->value_log2, note->dots);
    return note->tuplet == 3 ? fraction_multiply(length, fraction_make(2, 3)) : length;
}

static struct fraction beat_of(const struct score_bar *bar)
{
    return tempo_beat(bar->settings->tempo, bar->meter);
}

/* The bar before on the page; for every ending the last bar that all endings share. */
static size_t bar_before(const struct score_exercise *exercise, size_t index)
{
    index--;
    if (exercise->bars[index + 1].ending_begins)
        while (index > 0 && exercise->bars[index].ending)
            index--;
    return index;
}

static struct fraction pace_of(const struct paces *paces, size_t index)
{
    const struct score_exercise *exercise = paces->exercise;
    const struct score_bar *bar = &exercise->bars[index];
    const struct tempo *tempo = bar->settings->tempo;
    size_t before = index ? bar_before(exercise, index) : 0;
    const struct score_bar *last = &exercise->bars[before];
    if (index == 0 || (!bar->pulse && last->settings->tempo != tempo))
        return fraction_multiply(fraction_make(paces->choice(tempo), TEMPO_ONE), beat_of(bar));
    struct fraction ratio = bar->pulse ? fraction_divide(note_length(&bar->pulse->now),
                                                         note_length(&bar->pulse->before))
                                       : fraction_divide(beat_of(bar), beat_of(last));
    return fraction_multiply(paces->bars[before], ratio);
}

struct fraction paces_of_bar(struct paces *paces, const struct played_bar *played)
{
    if (paces->exercise != played->exercise) {
        paces->exercise = played->exercise;
        size_t count = paces->exercise->bar_count;
        paces->bars = memory_resize(paces->bars, count * sizeof *paces->bars);
        for (size_t i = 0; i < count; i++)
            paces->bars[i] = pace_of(paces, i);
    }
    return paces->bars[played->index];
}

void paces_release(struct paces *paces)
{
    memory_free(paces->bars);
}
