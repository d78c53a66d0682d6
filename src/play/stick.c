/* Hands for one exercise, and whether two lines differ in nothing but their hands. */
#include "play/play_int.h"

#include "play/hands.h"

void hands_as_player(struct hand_row *row, const struct reach *reach)
{
    hands_find_habits(row, reach);
    hands_by_habit(row, reach);
    if (!hands_fit(row, reach))
        hands_within(row, reach);
}

struct hand_row play_choose_hands(const struct score *score, const struct score_exercise *exercise,
                                  const struct limits *limits, enum stick_style style,
                                  struct hand_sums *sums, struct hand_sums *alternating)
{
    struct reach reach;
    reach_make(&reach, score, limits, score->arena);
    struct hand_row row = hands_gather(score, exercise, timeline_grid(score, exercise), true,
                                       hands_go_round(exercise), score->arena);
    hands_choose(&row, &reach, STICK_ALTERNATE);
    *alternating = hands_sums(&row, &reach);
    if (style == STICK_PLAYER)
        hands_as_player(&row, &reach);
    else
        hands_choose(&row, &reach, style);
    *sums = hands_sums(&row, &reach);
    hands_note(&row);
    return row;
}

/* ---- the same music ----------------------------------------------------------------------- */

/* The limb of a hit as it will be written: its own, or the proposed hand. */
static uint8_t settled_limb(const struct note *note, size_t hit)
{
    bool open = note->hits[hit].limb == LIMB_HAND && (note->proposed & NOTE_PROPOSED);
    if (!open)
        return note->hits[hit].limb;
    return note->proposed >> hit & 1 ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
}

static bool same_graces(const struct note *old, const struct note *new)
{
    unsigned all = (1u << old->grace_count) - 1u;
    bool turned = !old->letter && new->letter == 'L'; /* the old ones are as for the right hand */
    return old->grace_count == new->grace_count &&
           ((turned ? ~(unsigned)old->graces & all : old->graces) == new->graces);
}

static bool same_but_for_hands(const struct note *old, const struct note *new)
{
    if (old->hit_count != new->hit_count || old->marks != new->marks || !same_graces(old, new) ||
        (old->letter && old->letter != new->letter))
        return false;
    for (size_t i = 0; i < old->hit_count; i++)
        if (old->hits[i].voice != new->hits[i].voice || old->hits[i].ghost != new->hits[i].ghost ||
            old->hits[i].plain != new->hits[i].plain || settled_limb(old, i) != new->hits[i].limb)
            return false;
    return true;
}

bool play_same_line(const struct score_line *old, const struct score_line *new)
{
    if (old->leaf_count != new->leaf_count)
        return false;
    for (uint32_t i = 0; i < old->leaf_count; i++) {
        const struct leaf *a = &old->leaves[i], *b = &new->leaves[i];
        if (!fraction_equal(a->onset, b->onset) || !fraction_equal(a->length, b->length) ||
            a->value_log2 != b->value_log2 || a->dots != b->dots || a->rest != b->rest ||
            leaf_struck(a) != leaf_struck(b) ||
            (leaf_struck(a) && !same_but_for_hands(a->note, b->note)))
            return false;
    }
    return true;
}
