#include "layout/layout_int.h"

/* Ties, and a roll's ring into its next note, on the side away from the stem; those that leave or
   enter a line are cut at its bar line and resumed. */

static bool leads_on(const struct set_note *note)
{
    return note->chord.count && (note->leaf->tied || note->leaf->note->marks & MARK_RING);
}

/*
 * Where feet may stand under the hands' heads a tie runs beside the heads, else under them:
 *
 *      o     o         o     o
 *       \___/            \_/
 */
static sp tie_left(const struct staff *staff, const struct set_note *note)
{
    return note->x + (staff->feet ? note->chord.right + HOUSE_TIE_BESIDE : HOUSE_TIE_INSET);
}

static sp tie_right(const struct staff *staff, const struct set_note *note)
{
    return note->x + (staff->feet ? note->chord.left - HOUSE_TIE_BESIDE : -HOUSE_TIE_INSET);
}

static void tie_draw(struct layout *layout, const struct staff *staff, bool up, sp left, sp right,
                     sp head_y)
{
    if (right - left < HOUSE_TIE_LEAST / 2)
        return;
    sp height = right - left < HOUSE_TIE_LONG ? HOUSE_TIE_HEIGHT : HOUSE_TIE_HEIGHT_LONG;
    sp drop = staff->feet ? HOUSE_TIE_DROP_BESIDE : HOUSE_TIE_DROP;
    sp y = head_y + (up ? drop : -drop);
    pen_curve(&layout->pen, ROLE_TIE, (struct point){left, y}, (struct point){right, y},
              up ? -height : height);
}

/* The heads that both notes have are tied; where none is the same (a ring), the outermost. */
static void tie_pair(struct layout *layout, const struct staff *staff, const struct set_note *from,
                     const struct set_note *to)
{
    sp left = tie_left(staff, from), right = tie_right(staff, to);
    const struct chord_head *outer =
        from->up ? &from->chord.heads[0] : &from->chord.heads[from->chord.count - 1];
    bool any = false;
    for (int i = 0; i < from->chord.count; i++)
        for (int k = 0; k < to->chord.count; k++)
            if (from->chord.heads[i].line2 == to->chord.heads[k].line2) {
                tie_draw(layout, staff, from->up, left, right, from->chord.heads[i].y);
                any = true;
            }
    if (!any)
        tie_draw(layout, staff, from->up, left, right, outer->y);
}

static void tie_loose(struct layout *layout, const struct staff *staff, const struct set_note *note,
                      sp left, sp right)
{
    for (int i = 0; i < note->chord.count; i++)
        tie_draw(layout, staff, note->up, left, right, note->chord.heads[i].y);
}

static void ties_of_bar(struct layout *layout, const struct staff *staff, size_t bar, int line,
                        const struct set_note **open)
{
    const struct set_bar *set = &layout->work.bars[bar];
    const struct set_note *notes = layout->work.notes + set->first_note[line];
    for (uint32_t i = 0; i < set->note_count[line]; i++) {
        const struct set_note *note = &notes[i];
        layout->pen.owner = mark_owner(staff->index, (unsigned)line, set->index, i);
        if (note->hidden)
            continue;
        if (*open && note->chord.count)
            tie_pair(layout, staff, *open, note);
        *open = leads_on(note) ? note : NULL;
    }
}

/* Whether the line's last note in the bar before the system rings or is tied into it. */
static bool enters(const struct staff *staff, const struct line *line, int which)
{
    if (line->first_bar == 0)
        return false;
    const struct score_line *before = &staff->exercise->bars[line->first_bar - 1].lines[which];
    if (!before->leaf_count)
        return false;
    const struct leaf *last = &before->leaves[before->leaf_count - 1];
    return last->note && (last->tied || last->note->marks & MARK_RING);
}

void ties_draw(struct layout *layout, const struct staff *staff, const struct line *line)
{
    struct work *work = &layout->work;
    for (int which = 0; which < LINE_COUNT; which++) {
        const struct set_note *open = NULL;
        const struct set_bar *first = &work->bars[0], *last = &work->bars[work->bar_count - 1];
        const struct set_note *note = work->notes + first->first_note[which];
        layout->pen.owner = mark_owner(staff->index, (unsigned)which, first->index, 0);
        if (enters(staff, line, which) && first->note_count[which] && note->chord.count)
            tie_loose(layout, staff, note, tie_right(staff, note) - HOUSE_TIE_LOOSE,
                      tie_right(staff, note));
        for (size_t bar = 0; bar < work->bar_count; bar++)
            ties_of_bar(layout, staff, bar, which, &open);
        if (open)
            tie_loose(layout, staff, open, tie_left(staff, open),
                      sp_max(last->line_left, tie_left(staff, open) + HOUSE_TIE_LEAST));
    }
}
