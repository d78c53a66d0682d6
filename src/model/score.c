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
