#include "layout/layout_int.h"

/* Ties, and a roll's ring into its next note, on the side away from the stem; those that leave or
   enter a line are cut at its bar line and resumed. */

bool note_leads_on(const struct set_note *note)
{
    return note->leaf->tied || (note->leaf->note && note->leaf->note->marks & MARK_RING);
}

/*
 * A tie runs under its heads; but beside them where something may stand there: feet, other heads
 * of the chord, parentheses.
 *
 *      o     o         o     o
 *       \___/            \_/
 */
static bool runs_beside(const struct staff *staff, const struct set_note *note)
{
    bool ghost = false;
    for (int i = 0; i < note->chord.count; i++)
        ghost |= note->chord.heads[i].ghost;
    return staff->feet || note->chord.count > 1 || ghost;
}

static sp tie_left(const struct staff *staff, const struct set_note *note)
{
    return note->x +
           (runs_beside(staff, note) ? note->chord.right + HOUSE_TIE_BESIDE : HOUSE_TIE_INSET);
}

/* Where the note's ink ends to the right, a flag included, from its column. */
static sp flag_reach(const struct layout *layout, const struct set_note *note)
{
    if (!note->beams || note->beamed)
        return note->chord.right;
    const struct glyph_metrics *flag = &layout->metrics->glyphs[flag_glyph(note->beams, note->up)];
    sp anchor = note->up ? flag->stem_up_nw.x : flag->stem_down_sw.x;
    return note->chord.stem_x - layout->defaults->stem / 2 + flag->ink.right - anchor;
}

sp tie_reach(const struct layout *layout, const struct staff *staff, const struct set_note *note)
{
    return runs_beside(staff, note) ? flag_reach(layout, note) : note->chord.right;
}

/* A ring ends at the graces of the note that it leads to. */
static sp tie_right(struct layout *layout, const struct staff *staff, const struct set_bar *bar,
                    const struct set_note *note)
{
    if (leaf_struck(note->leaf) && note->leaf->note->grace_count)
        return note->x - HOUSE_TIE_BESIDE -
               graces_reach(layout, note->leaf, &note->chord,
                            bar->bar->settings->show->sticking && note->leaf->note->letter);
    return note->x +
           (runs_beside(staff, note) ? note->chord.left - HOUSE_TIE_BESIDE : -HOUSE_TIE_INSET);
}

struct tie {
    sp left, right;
    sp flag;         /* where a flag of the first note ends */
    bool beside, up; /* up: the notes' stems */
};

/* Of a chord all but the outermost head's tie turn to the stem's side, and from beside a head that
   sits on a leger, off it; where feet share the staff so does that of a low head, and the feet's
   turn down. */
static void tie_draw(struct layout *layout, const struct staff *staff, const struct tie *tie,
                     const struct chord_head *head, bool outermost)
{
    sp drop = tie->beside ? HOUSE_TIE_DROP_BESIDE : HOUSE_TIE_DROP;
    bool below = staff->feet ? !tie->up || head->line2 > HOUSE_TIE_TURN : tie->up;
    bool over_leger = head->line2 > HOUSE_LEGER_UP && head->line2 % 2;
    if (!outermost || (tie->beside && over_leger))
        below = !tie->up;
    sp left = below == tie->up ? tie->left : sp_max(tie->left, tie->flag);
    sp height = tie->right - left < HOUSE_TIE_LONG ? HOUSE_TIE_HEIGHT : HOUSE_TIE_HEIGHT_LONG;
    sp y = head->y + (below ? drop : -drop);
    if (tie->right - left >= HOUSE_TIE_LEAST / 2)
        pen_curve(&layout->pen, ROLE_TIE, (struct point){left, y}, (struct point){tie->right, y},
                  below ? -height : height);
}

static int outermost_head(const struct set_note *note)
{
    return note->up ? 0 : note->chord.count - 1;
}

/* The heads that both notes have are tied, `bar` that of the second; where none is the same (a
 * ring), the outermost. */
static void tie_pair(struct layout *layout, const struct staff *staff, const struct set_bar *bar,
                     const struct set_note *from, const struct set_note *to)
{
    struct tie tie = {tie_left(staff, from), tie_right(layout, staff, bar, to),
                      from->x + flag_reach(layout, from) + HOUSE_TIE_BESIDE,
                      runs_beside(staff, from) || runs_beside(staff, to), from->up};
    int outermost = outermost_head(from);
    bool any = false;
    for (int i = 0; i < from->chord.count; i++)
        for (int k = 0; k < to->chord.count; k++)
            if (from->chord.heads[i].line2 == to->chord.heads[k].line2) {
                tie_draw(layout, staff, &tie, &from->chord.heads[i], i == outermost);
                any = true;
            }
    if (!any)
        tie_draw(layout, staff, &tie, &from->chord.heads[outermost], true);
}

/* Whether the note, of another line than is being drawn, has a head at this place. */
static bool strikes_place(const struct layout *layout, const struct staff *staff,
                          const struct note *note, int line2)
{
    const struct voice *voices = layout->score->lesson->kit.voices;
    for (int i = 0; i < note->hit_count; i++)
        if (staff->one_line || voices[note->hits[i].voice].line2 == line2)
            return true;
    return false;
}

/* A tie cut at the line's start or end. `other`: what it comes from or goes to; as tie_pair(). */
static void tie_loose(struct layout *layout, const struct staff *staff, const struct set_note *note,
                      const struct note *other, sp left, sp right)
{
    sp flag = left > note->x ? note->x + flag_reach(layout, note) + HOUSE_TIE_BESIDE : left;
    struct tie tie = {left, right, flag, runs_beside(staff, note), note->up};
    int outermost = outermost_head(note);
    bool any = false;
    for (int i = 0; i < note->chord.count; i++)
        if (other && strikes_place(layout, staff, other, note->chord.heads[i].line2)) {
            tie_draw(layout, staff, &tie, &note->chord.heads[i], i == outermost);
            any = true;
        }
    if (!any)
        tie_draw(layout, staff, &tie, &note->chord.heads[outermost], true);
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
            tie_pair(layout, staff, set, *open, note);
        *open = note->chord.count && note_leads_on(note) ? note : NULL;
    }
}

/* The line's last note in the bar before this one where it rings or is tied into it; else NULL. */
static const struct note *enters(const struct staff *staff, uint32_t bar, int which)
{
    if (bar == 0)
        return NULL;
    const struct score_line *before = &staff->exercise->bars[bar - 1].lines[which];
    if (!before->leaf_count)
        return NULL;
    const struct leaf *last = &before->leaves[before->leaf_count - 1];
    return last->note && (last->tied || last->note->marks & MARK_RING) ? last->note : NULL;
}

/* What the line's first bar of the next system begins with; NULL at the exercise's end. */
static const struct note *goes_to(const struct staff *staff, const struct line *line, int which)
{
    uint32_t next = line->first_bar + line->bar_count;
    if (next >= staff->exercise->bar_count)
        return NULL;
    const struct score_line *after = &staff->exercise->bars[next].lines[which];
    return after->leaf_count ? after->leaves[0].note : NULL;
}

bool tie_enters(const struct staff *staff, uint32_t bar)
{
    return enters(staff, bar, LINE_HANDS) || enters(staff, bar, LINE_FEET);
}

void ties_draw(struct layout *layout, const struct staff *staff, const struct line *line)
{
    struct work *work = &layout->work;
    for (int which = 0; which < LINE_COUNT; which++) {
        const struct set_note *open = NULL;
        const struct set_bar *first = &work->bars[0], *last = &work->bars[work->bar_count - 1];
        const struct set_note *note = work->notes + first->first_note[which];
        layout->pen.owner = mark_owner(staff->index, (unsigned)which, first->index, 0);
        const struct note *from = enters(staff, line->first_bar, which);
        if (from && first->note_count[which] && note->chord.count)
            tie_loose(layout, staff, note, from, first->left - HOUSE_TIE_ENTERS,
                      tie_right(layout, staff, first, note));
        for (size_t bar = 0; bar < work->bar_count; bar++)
            ties_of_bar(layout, staff, bar, which, &open);
        if (open)
            tie_loose(layout, staff, open, goes_to(staff, line, which), tie_left(staff, open),
                      last->line_left);
    }
}
