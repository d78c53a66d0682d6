/*
 * Right and left change places in music that is built: nothing else about it changes, so that it
 * sounds the same. An exercise with the left lead swaps the hands; a lesson for a player of the
 * other hand swaps hands and feet.
 */
#include "build/build.h"

static uint8_t other_side(uint8_t limb)
{
    static const uint8_t others[] = {[LIMB_RIGHT_HAND] = LIMB_LEFT_HAND,
                                     [LIMB_LEFT_HAND] = LIMB_RIGHT_HAND,
                                     [LIMB_RIGHT_FOOT] = LIMB_LEFT_FOOT,
                                     [LIMB_LEFT_FOOT] = LIMB_RIGHT_FOOT};
    return limb < LIMB_COUNT ? others[limb] : limb;
}

static bool is_foot(uint8_t limb)
{
    return limb == LIMB_RIGHT_FOOT || limb == LIMB_LEFT_FOOT;
}

static void swap_limbs(struct note *note, bool feet)
{
    for (size_t i = 0; i < note->hit_count; i++)
        if (is_foot(note->hits[i].limb) == feet)
            note->hits[i].limb = other_side(note->hits[i].limb);
}

/* The letter, and what is written beside it: grace strokes (those of a note without a letter are as
   for the right hand) and proposed hands. */
static void swap_letter(struct note *note)
{
    if (note->letter)
        note->graces = (uint8_t)(~note->graces & ((1u << note->grace_count) - 1u));
    if (note->letter == 'R' || note->letter == 'L')
        note->letter = note->letter == 'R' ? 'L' : 'R';
    if (note->proposed & NOTE_PROPOSED)
        note->proposed ^= (uint8_t)((1u << note->hit_count) - 1u);
}

/* Bars may share their notes, so each note knows whether it is swapped already. */
static void note_mirror(struct note *note, bool of_feet, bool hands, bool feet)
{
    if (note->hands_swapped != hands) {
        swap_limbs(note, false);
        if (!of_feet)
            swap_letter(note);
    }
    if (note->feet_swapped != feet) {
        swap_limbs(note, true);
        if (of_feet)
            swap_letter(note);
    }
    note->hands_swapped = hands;
    note->feet_swapped = feet;
}

static void swap_sides(struct score_exercise *exercise, bool hands, bool feet)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        for (int which = 0; which < LINE_COUNT; which++) {
            const struct score_line *line = &exercise->bars[b].lines[which];
            for (uint32_t i = 0; i < line->leaf_count; i++)
                if (leaf_struck(&line->leaves[i]))
                    note_mirror(line->leaves[i].note,
                                which == LINE_FEET && !exercise->bars[b].hands_apart, hands, feet);
        }
}

/* "On the pad, left lead": the lead is named only if both are printed. */
static const char *title_of(const struct score *score, const struct score_exercise *exercise)
{
    const char *title = exercise->source->title.text;
    if (exercise->source->settings.lead != LEAD_BOTH || exercise->sequence)
        return title;
    const struct page_words *words = &score->lesson->words;
    if (!title || !*title)
        return page_word(words, exercise->mirrored ? "Left lead" : "Right lead");
    return arena_format(score->arena, "%s, %s", title,
                        page_word(words, exercise->mirrored ? "left lead" : "right lead"));
}

void exercise_take_sides(const struct score *score, struct score_exercise *exercise,
                         bool other_player)
{
    bool hands = exercise->left_lead != other_player, feet = other_player;
    if (hands != exercise->mirrored || feet != exercise->feet_mirrored)
        swap_sides(exercise, hands, feet);
    exercise->mirrored = hands;
    exercise->feet_mirrored = feet;
    exercise->title = title_of(score, exercise);
}

void score_mirror(struct score *score, bool other_player)
{
    score->other_player = other_player;
    for (size_t i = 0; i < score->lesson->turned_count; i++)
        turned_say(&score->lesson->turned[i], other_player);
    for (size_t i = 0; i < score->exercise_count; i++)
        exercise_take_sides(score, &score->exercises[i], other_player);
}
