#include "model/shown_bars.h"

#include "model/bar_same.h"

void bar_become_sign(struct score_bar *bar, struct fraction length, struct arena *arena)
{
    struct leaf *leaf = arena_alloc(arena, sizeof *leaf);
    *leaf = (struct leaf){.onset = FRACTION_ZERO,
                          .length = length,
                          .rest = true,
                          .whole_bar = true,
                          .tuplet = LEAF_NO_TUPLET};
    bar->length = length;
    bar->lines[LINE_HANDS] = (struct score_line){.leaves = leaf, .leaf_count = 1};
    bar->lines[LINE_FEET] = bar->together = (struct score_line){.leaf_count = 0};
    bar->count_count = bar->dynamic_count = 0;
    bar->pulse = NULL;
    bar->figures = NULL;
}

/* ---- bars that are the same ------------------------------------------------------------------ */

static bool same_pace(const struct settings *a, const struct settings *b)
{
    return a->tempo == b->tempo && fraction_equal(a->swing, b->swing);
}

static bool is_tied(const struct score_bar *bar)
{
    for (int i = 0; i < LINE_COUNT; i++) {
        const struct score_line *line = &bar->lines[i];
        if (line->leaf_count &&
            (line->leaves[0].continued || line->leaves[line->leaf_count - 1].tied))
            return true;
    }
    return false;
}

static bool plays(const struct score_bar *bar)
{
    for (int line = 0; line < LINE_COUNT; line++)
        for (uint32_t i = 0; i < bar->lines[line].leaf_count; i++)
            if (bar->lines[line].leaves[i].note)
                return true;
    return false;
}

/* Whether the sign can stand for this bar: nothing begins in it but what stands over bars. */
static bool is_again(const struct score_bar *bar, const struct score_bar *before)
{
    return !bar->meter_changes && !bar->pickup && !before->pickup && !bar->repeat_begins &&
           !before->repeat_ends && !bar->ending_begins && !bar->pulse && !bar->dynamic_count &&
           !bar->figures && same_pace(bar->settings, before->settings) && !is_tied(bar) &&
           !is_tied(before) && plays(bar) && same_line(bar, before, LINE_HANDS) &&
           same_line(bar, before, LINE_FEET);
}

static bool asks_for_signs(const struct score_bar *bar)
{
    return bar->settings->show->bars != SHOW_BARS_FULL;
}

/* How many bars a sign has to stand for that begins with this one; 0: it has its notes. */
static uint32_t sign_here(const struct score_exercise *exercise, size_t index)
{
    const struct score_bar *bar = &exercise->bars[index];
    if (signs_play_nothing_new(bar->signs) || (bar->signs && bar->signs->slashes))
        return signs_length(bar->signs);
    return index && asks_for_signs(bar) && is_again(bar, bar - 1);
}

/* ---- writing --------------------------------------------------------------------------------- */

/* How often the one or two bars have been played, with signs before this one. */
static uint16_t count_times(const struct score_exercise *out, const struct score_bar *sign)
{
    uint16_t time = 2;
    for (const struct score_bar *bar = sign; bar-- > out->bars && bar->repeats == sign->repeats;)
        time++;
    return time;
}

/* For layout, slashes are rests: one for each beat, with the dot of a compound beat. */
static void become_slashes(struct score_bar *bar, struct arena *arena)
{
    struct leaf *leaves = arena_array(arena, bar->beat_count, sizeof *leaves);
    for (uint16_t i = 0; i < bar->beat_count; i++) {
        const struct score_beat *beat = &bar->beats[i];
        bool dotted = beat->length.numerator == 3;
        int64_t value = beat->length.denominator / (dotted ? 2 : 1);
        leaves[i] = (struct leaf){.onset = beat->start,
                                  .length = beat->length,
                                  .rest = true,
                                  .dots = dotted,
                                  .tuplet = LEAF_NO_TUPLET,
                                  .beat = i};
        while (value > 1 << leaves[i].value_log2)
            leaves[i].value_log2++;
    }
    bar->slashes = true;
    bar->lines[LINE_HANDS] = (struct score_line){.leaves = leaves, .leaf_count = bar->beat_count};
    bar->lines[LINE_FEET] = (struct score_line){.leaf_count = 0};
    bar->count_count = 0;
}

/* A rest of several bars is as wide as two. */
static struct fraction sign_length(const struct score_bar *bar, uint32_t bars)
{
    return fraction_multiply(bar->length, fraction_make(bars > 1 ? 2 : 1, 1));
}

static void add_sign(struct score_exercise *out, const struct score_bar *from, uint32_t length,
                     struct arena *arena)
{
    struct score_bar *bar = &out->bars[out->bar_count++];
    bool rest = from->signs && from->signs->rest;
    *bar = *from;
    if (from->signs && from->signs->slashes && !from->signs->same) {
        become_slashes(bar, arena);
        return;
    }
    bar->repeats = rest ? 0 : (uint8_t)length;
    bar->rests = rest ? (uint16_t)length : 0;
    bar_become_sign(bar, sign_length(from, length), arena);
    if (!rest && bar->settings->show->bars == SHOW_BARS_COUNT)
        bar->time = count_times(out, bar);
}

/* What ends with a sign's last bar ends with the sign. */
static void take_end(struct score_bar *bar, const struct score_bar *last, struct arena *arena)
{
    if (bar->signs != last->signs && last->signs) {
        struct bar_signs *signs = arena_copy(arena, bar->signs, 1, sizeof *signs);
        signs->fine = last->signs->fine;
        signs->to_coda = last->signs->to_coda;
        signs->jump = last->signs->jump;
        bar->signs = signs;
    }
    bar->repeat_ends = last->repeat_ends;
    bar->plays = last->plays;
    bar->ending_ends = last->ending_ends;
    bar->last = last->last;
}

/* The notes of the bars that a sign would stand for; slashes where it repeats those. */
static void add_notes(struct score_exercise *out, const struct score_bar *from, uint32_t length,
                      struct arena *arena)
{
    for (uint32_t i = 0; i < length; i++) {
        struct score_bar *bar = &out->bars[out->bar_count++];
        *bar = from[i];
        if (bar[-(ptrdiff_t)length].slashes)
            become_slashes(bar, arena);
    }
}

static bool is_repeat(const struct score_bar *bar)
{
    return !bar->signs || (!bar->signs->rest && (bar->signs->same || !bar->signs->slashes));
}

const struct score_exercise *shown_bars(const struct score_exercise *exercise,
                                        enum shown_repeats repeats, struct arena *arena)
{
    size_t first = 0;
    while (first < exercise->bar_count && !sign_here(exercise, first))
        first++;
    if (first == exercise->bar_count)
        return exercise;
    struct score_exercise *out = arena_alloc(arena, sizeof *out);
    *out = *exercise;
    out->bars = arena_array(arena, exercise->bar_count, sizeof *out->bars);
    out->bar_count = 0;
    for (size_t i = 0; i < exercise->bar_count; i++) {
        uint32_t length = sign_here(exercise, i);
        if (!length) {
            out->bars[out->bar_count++] = exercise->bars[i];
            continue;
        }
        if (repeats == SHOWN_IN_NOTES && is_repeat(&exercise->bars[i])) {
            add_notes(out, &exercise->bars[i], length, arena);
            i += length - 1;
            continue;
        }
        add_sign(out, &exercise->bars[i], length, arena);
        i += length - 1;
        take_end(&out->bars[out->bar_count - 1], &exercise->bars[i], arena);
    }
    return out;
}
