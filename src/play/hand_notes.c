/* Chosen hands as limbs and letters, and in the notes. */
#include "play/hands.h"

uint8_t hands_limb(const struct hand_row *row, const struct hand_event *event, int hit)
{
    bool second = (hit == 1) != event->turned;
    return second != row->left_leads ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
}

char hands_letter(const struct hand_row *row, const struct hand_event *event)
{
    if (event->count == 2)
        return 'B';
    return hands_limb(row, event, 0) == LIMB_LEFT_HAND ? 'L' : 'R';
}

void hands_note_event(const struct hand_row *row, const struct hand_event *event)
{
    struct note *note = event->note;
    if (note->letter)
        return;
    note->proposed = (note->proposed & (NOTE_ASKED | NOTE_KEYED)) | NOTE_PROPOSED;
    for (int hit = 0, seen = 0; hit < note->hit_count; hit++)
        if (note->hits[hit].limb == LIMB_HAND && seen < 2 &&
            hands_limb(row, event, seen++) == LIMB_LEFT_HAND)
            note->proposed |= (uint8_t)(1u << hit);
}

void hands_note(const struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        hands_note_event(row, &row->events[i]);
}
