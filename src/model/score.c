#include "model/score.h"

const struct score_exercise *score_printing(const struct score *score, size_t index)
{
    const struct exercise *source = &score->lesson->exercises[index];
    for (size_t i = index; i < score->exercise_count; i++) /* none is printed before its place */
        if (score->exercises[i].source == source)
            return &score->exercises[i];
    return NULL;
}

bool ending_has(const struct ending *ending, uint16_t pass)
{
    for (size_t i = 0; i < ending->pass_count; i++)
        if (ending->passes[i] == pass)
            return true;
    return false;
}

uint16_t endings_last(const struct exercise *exercise)
{
    uint16_t last = 0;
    for (size_t i = 0; i < exercise->ending_count; i++)
        for (size_t p = 0; p < exercise->endings[i].pass_count; p++)
            if (exercise->endings[i].passes[p] > last)
                last = exercise->endings[i].passes[p];
    return last;
}

const char *limb_word(uint8_t limb)
{
    static const char *const words[LIMB_COUNT] = {[LIMB_RIGHT_HAND] = "right hand",
                                                  [LIMB_LEFT_HAND] = "left hand",
                                                  [LIMB_RIGHT_FOOT] = "right foot",
                                                  [LIMB_LEFT_FOOT] = "left foot"};
    return words[limb];
}

/* The next leaf of a line that is part of the sticking; NULL at its end. */
static const struct leaf *find_next(struct sticking_walk *walk, int line)
{
    const struct score_line *from = &walk->bar->lines[line];
    for (; walk->next[line] < from->leaf_count; walk->next[line]++) {
        const struct leaf *leaf = &from->leaves[walk->next[line]];
        if (leaf_struck(leaf) && (line == LINE_HANDS || is_foot_letter(leaf->note->letter) ||
                                  (walk->bar->hands_apart && leaf->note->letter)))
            return leaf;
    }
    return NULL;
}

const struct leaf *sticking_next(struct sticking_walk *walk)
{
    const struct leaf *hands = find_next(walk, LINE_HANDS), *foot = find_next(walk, LINE_FEET);
    bool first = foot && (!hands || fraction_compare(foot->onset, hands->onset) < 0);
    walk->next[LINE_HANDS] += hands && !first;
    walk->next[LINE_FEET] += first;
    return first ? foot : hands;
}

bool bar_counts_feet(const struct score_bar *bar)
{
    const struct score_line *feet = &bar->lines[LINE_FEET];
    uint16_t at = 0;
    for (uint32_t i = 0; i < feet->leaf_count; i++) {
        if (!leaf_struck(&feet->leaves[i]))
            continue;
        struct fraction onset = feet->leaves[i].onset;
        while (at < bar->count_count && fraction_compare(bar->counts[at].onset, onset) < 0)
            at++;
        if (at == bar->count_count || !fraction_equal(bar->counts[at].onset, onset))
            return false;
    }
    return true;
}

static bool hands_divide(const struct score_bar *bar, uint16_t beat)
{
    const struct score_line *hands = &bar->lines[LINE_HANDS];
    for (uint32_t i = 0; i < hands->leaf_count; i++)
        if (leaf_struck(&hands->leaves[i]) && bar_beat_at(bar, hands->leaves[i].onset) == beat &&
            !fraction_equal(hands->leaves[i].onset, bar->beats[beat].start))
            return true;
    return false;
}

bool count_is_feets_tuplet(const struct score_bar *bar, const struct count *count)
{
    uint16_t beat = bar_beat_at(bar, count->onset);
    const struct score_beat *in = &bar->beats[beat];
    struct fraction place = fraction_divide(fraction_subtract(count->onset, in->start), in->length);
    bool halves = (place.denominator & (place.denominator - 1)) == 0;
    return count->struck && in->kind == BEAT_SIMPLE && !halves && !hands_divide(bar, beat);
}
