#include "model/bar_same.h"

static bool same_note(const struct note *a, const struct note *b)
{
    if (a == b)
        return true;
    if (a->hit_count != b->hit_count || a->marks != b->marks || a->grace_count != b->grace_count ||
        a->graces != b->graces || a->letter != b->letter)
        return false;
    for (int i = 0; i < a->hit_count; i++)
        if (a->hits[i].voice != b->hits[i].voice || a->hits[i].limb != b->hits[i].limb ||
            a->hits[i].ghost != b->hits[i].ghost || a->hits[i].plain != b->hits[i].plain)
            return false;
    return true;
}

static bool same_leaf(const struct leaf *a, const struct leaf *b)
{
    return fraction_equal(a->onset, b->onset) && a->value_log2 == b->value_log2 &&
           a->dots == b->dots && a->rest == b->rest && a->continued == b->continued &&
           a->tuplet == b->tuplet && (!leaf_struck(a) || same_note(a->note, b->note));
}

static bool same_beats(const struct score_bar *a, const struct score_bar *b)
{
    if (a->counted == b->counted)
        return true;
    for (uint16_t i = 0; i < a->counted_count; i++)
        if (a->counted[i].has_division != b->counted[i].has_division ||
            a->counted[i].subdivision != b->counted[i].subdivision ||
            a->counted[i].spans_two != b->counted[i].spans_two)
            return false;
    return true;
}

static bool same_tuplets(const struct score_line *a, const struct score_line *b)
{
    for (uint16_t i = 0; i < a->tuplet_count; i++)
        if (a->tuplets[i].first != b->tuplets[i].first || a->tuplets[i].end != b->tuplets[i].end ||
            a->tuplets[i].actual != b->tuplets[i].actual ||
            a->tuplets[i].normal != b->tuplets[i].normal ||
            a->tuplets[i].unit_log2 != b->tuplets[i].unit_log2)
            return false;
    return true;
}

bool same_ground(const struct score_bar *a, const struct score_bar *b)
{
    return a->settings->counting == b->settings->counting && a->pickup == b->pickup &&
           (a->meter == b->meter || meter_equal(a->meter, b->meter));
}

bool same_line(const struct score_bar *a, const struct score_bar *b, int line)
{
    const struct score_line *one = &a->lines[line], *other = &b->lines[line];
    if (one->leaf_count != other->leaf_count || one->tuplet_count != other->tuplet_count ||
        !same_ground(a, b) || !same_beats(a, b) || !same_tuplets(one, other))
        return false;
    for (uint32_t i = 0; i < one->leaf_count; i++)
        if (!same_leaf(&one->leaves[i], &other->leaves[i]))
            return false;
    return true;
}
