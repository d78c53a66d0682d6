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

/* ---- gradual changes ---------------------------------------------------------------------- */

static bool new_tempo(const struct score_exercise *exercise, size_t bar)
{
    return exercise->bars[bar].settings->tempo != exercise->bars[bar - 1].settings->tempo;
}

/* The bar after the last one that this bar's tempo is written for. */
static size_t tempo_end(const struct score_exercise *exercise, size_t bar)
{
    for (bar++; bar < exercise->bar_count && !new_tempo(exercise, bar);)
        bar++;
    return bar;
}

static void add_gradual_tempo(struct paces *paces, size_t bar, size_t end)
{
    const struct tempo *tempo = paces->exercise->bars[bar].settings->tempo;
    if (!tempo || !tempo->gradual)
        return;
    *vector_push(&paces->slopes, NULL) =
        (struct pace_slope){.from = paces->starts[bar],
                            .to = paces->starts[end],
                            .factor = FRACTION_ONE,
                            .goal = fraction_make(tempo->hundredths[1], tempo->hundredths[0])};
}

/* accel and rit of the bars from `first` on; `end` is the first bar with another tempo. */
static void add_words(struct paces *paces, size_t first, size_t end)
{
    const struct score_exercise *exercise = paces->exercise;
    struct pace_slope *open = NULL;
    struct fraction factor = FRACTION_ONE;
    for (size_t b = first; b < end; b++)
        for (uint16_t i = 0; i < exercise->bars[b].pace_count; i++) {
            const struct dynamic_mark *word = &exercise->bars[b].paces[i];
            struct fraction into = fraction_subtract(word->onset, exercise->bars[b].start);
            struct fraction at = fraction_add(paces->starts[b], into);
            if (open) {
                open->to = at;
                factor = open->goal;
            }
            bool faster = word->text[0] == 'a' && word->text[1] == 'c',
                 slower = word->text[0] == 'r';
            open = NULL;
            if (!faster && !slower) { /* a-tempo */
                factor = FRACTION_ONE;
                continue;
            }
            open = vector_push(&paces->slopes, NULL);
            struct fraction by = faster ? fraction_make(5, 4) : fraction_make(4, 5);
            *open =
                (struct pace_slope){at, paces->starts[end], factor, fraction_multiply(factor, by)};
        }
    if (open && end < exercise->bar_count && paces->bars[end - 1].numerator > 0)
        open->goal = fraction_divide(paces->bars[end], paces->bars[end - 1]);
}

static void find_slopes(struct paces *paces)
{
    const struct score_exercise *exercise = paces->exercise;
    size_t count = exercise->bar_count;
    paces->slopes.count = 0;
    paces->starts = memory_resize(paces->starts, (count + 1) * sizeof *paces->starts);
    paces->starts[0] = FRACTION_ZERO;
    for (size_t i = 0; i < count; i++)
        paces->starts[i + 1] = fraction_add(paces->starts[i], exercise->bars[i].length);
    for (size_t bar = 0; bar < count;) {
        size_t end = tempo_end(exercise, bar);
        if (paces->gradual)
            add_gradual_tempo(paces, bar, end);
        add_words(paces, bar, end);
        bar = end;
    }
}

static struct fraction factor_at(const struct pace_slope *slope, struct fraction at)
{
    struct fraction share = fraction_divide(fraction_subtract(at, slope->from),
                                            fraction_subtract(slope->to, slope->from));
    return fraction_add(slope->factor,
                        fraction_multiply(fraction_subtract(slope->goal, slope->factor), share));
}

static struct fraction larger(struct fraction a, struct fraction b)
{
    return fraction_compare(a, b) < 0 ? b : a;
}

static struct fraction smaller(struct fraction a, struct fraction b)
{
    return fraction_compare(a, b) < 0 ? a : b;
}

/* Whether some of the slope lies in the bar. */
static bool in_bar(const struct paces *paces, const struct pace_slope *slope, size_t bar)
{
    return fraction_compare(slope->from, paces->starts[bar + 1]) < 0 &&
           fraction_compare(slope->to, paces->starts[bar]) > 0;
}

static struct fraction fastest_factor(const struct paces *paces, size_t bar)
{
    struct fraction most = FRACTION_ZERO, covered = FRACTION_ZERO;
    for (size_t i = 0; i < paces->slopes.count; i++) {
        const struct pace_slope *slope = &paces->slopes.items[i];
        if (!in_bar(paces, slope, bar))
            continue;
        struct fraction from = larger(slope->from, paces->starts[bar]);
        struct fraction to = smaller(slope->to, paces->starts[bar + 1]);
        most = larger(most, larger(factor_at(slope, from), factor_at(slope, to)));
        covered = fraction_add(covered, fraction_subtract(to, from));
    }
    bool all = fraction_equal(covered, paces->exercise->bars[bar].length);
    return all ? most : larger(most, FRACTION_ONE);
}

/* ---- asking ------------------------------------------------------------------------------- */

static void know(struct paces *paces, const struct score_exercise *exercise)
{
    if (paces->exercise == exercise)
        return;
    paces->exercise = exercise;
    size_t count = exercise->bar_count;
    paces->bars = memory_resize(paces->bars, count * sizeof *paces->bars);
    for (size_t i = 0; i < count; i++)
        paces->bars[i] = pace_of(paces, i);
    find_slopes(paces);
}

struct fraction paces_of_bar(struct paces *paces, const struct played_bar *played)
{
    know(paces, played->exercise);
    struct fraction speed = paces->bars[played->index];
    return paces->slopes.count ? fraction_multiply(speed, fastest_factor(paces, played->index))
                               : speed;
}

bool paces_change_in_bar(struct paces *paces, const struct played_bar *played)
{
    know(paces, played->exercise);
    for (size_t i = 0; i < paces->slopes.count; i++)
        if (in_bar(paces, &paces->slopes.items[i], played->index))
            return true;
    return false;
}

struct fraction paces_at(struct paces *paces, const struct played_bar *played,
                         struct fraction onset)
{
    know(paces, played->exercise);
    struct fraction speed = paces->bars[played->index];
    struct fraction at =
        fraction_add(paces->starts[played->index], fraction_subtract(onset, played->bar->start));
    for (size_t i = 0; i < paces->slopes.count; i++) {
        const struct pace_slope *slope = &paces->slopes.items[i];
        if (fraction_compare(slope->from, at) <= 0 && fraction_compare(slope->to, at) > 0)
            return fraction_multiply(speed, factor_at(slope, at));
    }
    return speed;
}

void paces_release(struct paces *paces)
{
    memory_free(paces->bars);
    memory_free(paces->starts);
    vector_release(&paces->slopes);
}
