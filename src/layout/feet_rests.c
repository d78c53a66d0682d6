#include "layout/feet_rests.h"

/*
 * Most rests of the feet are left out, as their notes are read from the notes of the hands above
 * them. Where there is none above, a note is read from what comes before it in its own line:
 *
 *     hands   o   o   o   o         o   o   o   o
 *     feet          ?               7     o
 *
 * So such a note needs the rest before it; a rest that begins under nothing needs the rest before
 * it in turn, back to something that is printed. A beat or tuplet with a rest in it shows all of
 * them: half of them would not add up.
 */

/* Whether a leaf of the hands begins at the onset. Asked from late to early; `*hand`: leaves that
   may still come. */
static bool stands_under(const struct score_line *hands, uint32_t *hand, struct fraction onset)
{
    while (*hand && fraction_compare(hands->leaves[*hand - 1].onset, onset) > 0)
        --*hand;
    return *hand && fraction_equal(hands->leaves[*hand - 1].onset, onset);
}

static bool is_rest_seen(const struct set_note *note)
{
    return !note->hidden && !note->leaf->note;
}

static bool is_same_beat(const struct set_note *note, const struct set_note *other)
{
    return note->leaf->beat == other->leaf->beat;
}

static void show_before(const struct score_bar *bar, struct set_note *notes)
{
    const struct score_line *feet = &bar->lines[LINE_FEET], *hands = &bar->lines[LINE_HANDS];
    uint32_t hand = hands->leaf_count;
    for (uint32_t i = feet->leaf_count; i-- > 1;) {
        bool in_beat = is_rest_seen(&notes[i]) && is_same_beat(&notes[i], &notes[i - 1]);
        bool under = stands_under(hands, &hand, feet->leaves[i].onset);
        if (!notes[i].hidden && (in_beat || !under))
            notes[i - 1].hidden = false;
    }
}

/* The rests that follow one in its beat. */
static void show_after(struct set_note *notes, uint32_t count)
{
    bool rests = false;
    for (uint32_t i = 0; i < count; i++) {
        rests = (rests && i && is_same_beat(&notes[i], &notes[i - 1])) || is_rest_seen(&notes[i]);
        if (rests)
            notes[i].hidden = false;
    }
}

static void show_in_tuplet(const struct tuplet *tuplet, struct set_note *notes)
{
    bool rests = false;
    for (uint32_t i = tuplet->first; i < tuplet->end; i++)
        rests |= is_rest_seen(&notes[i]);
    for (uint32_t i = tuplet->first; rests && i < tuplet->end; i++)
        notes[i].hidden = false;
}

void feet_rests_show(const struct score_bar *bar, struct set_note *notes)
{
    const struct score_line *feet = &bar->lines[LINE_FEET];
    show_before(bar, notes);
    show_after(notes, feet->leaf_count);
    for (uint16_t i = 0; i < feet->tuplet_count; i++)
        show_in_tuplet(&feet->tuplets[i], notes);
}
