#include "layout/layout_state.h"
#include "layout/notes.h"
#include "layout/signs.h"
#include "layout/system_parts.h"

/* Ties are on the side away from the stem. One that leaves or enters a line is cut at its bar
   line and goes on at the other. */

static bool leaf_leads_on(const struct leaf *leaf)
{
    return leaf->tied || (leaf->note && leaf->note->marks & MARK_RING);
}

bool note_leads_on(const struct set_note *note)
{
    return leaf_leads_on(note->leaf);
}

/*
 * A tie runs under its heads, or beside them if that place may be taken by feet, other heads of the
 * chord or parentheses.
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
    return flag_origin(layout, note, 0).x +
           glyph_ink(layout, flag_glyph(note->beams, note->up)).right;
}

sp tie_reach(const struct layout *layout, const struct set_note *note)
{
    return runs_beside(layout->staff, note) ? flag_reach(layout, note) : note->chord.right;
}

/* A roll's tie ends at the graces of the note that it leads to. */
static sp tie_right(struct layout *layout, const struct set_bar *bar, const struct set_note *note)
{
    if (leaf_struck(note->leaf) && note->leaf->note->grace_count)
        return note->x - HOUSE_TIE_BESIDE -
               graces_reach(layout, note->leaf, &note->chord, graces_lettered(bar, note));
    return note->x + (runs_beside(layout->staff, note) ? note->chord.left - HOUSE_TIE_BESIDE
                                                       : -HOUSE_TIE_INSET);
}

struct tie {
    sp left, right;
    sp flag;         /* where a flag of the first note ends */
    bool beside, up; /* up: the notes' stems */
};

/* Of a chord all but the outermost head's tie turn to the stem's side; so does one from beside a
   head that sits on a leger, off the leger. Where feet share the staff the tie of a low head turns
   up, and the feet's turn down. */
static void tie_draw(struct layout *layout, const struct tie *tie, const struct chord_head *head,
                     bool outermost)
{
    sp drop = tie->beside ? HOUSE_TIE_DROP_BESIDE : HOUSE_TIE_DROP;
    bool below = layout->staff->feet ? !tie->up || head->line2 > HOUSE_TIE_TURN : tie->up;
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

/* Ties those heads of a note that the other note strikes again; if it strikes none of them, as at a
   roll's end, the outermost. */
static void heads_tie(struct layout *layout, const struct tie *tie, const struct set_note *note,
                      const bool strikes[CHORD_HEADS_MAX])
{
    const struct chord_head *outermost = chord_root(&note->chord);
    bool any = false;
    for (int i = 0; i < note->chord.count; i++)
        if (strikes[i]) {
            const struct chord_head *head = &note->chord.heads[i];
            tie_draw(layout, tie, head, head == outermost);
            any = true;
        }
    if (!any)
        tie_draw(layout, tie, outermost, true);
}

/* Between two notes of a line; `bar` is that of the second. */
static void tie_notes(struct layout *layout, const struct set_bar *bar, const struct set_note *from,
                      const struct set_note *to)
{
    const struct staff *staff = layout->staff;
    struct tie tie = {tie_left(staff, from), tie_right(layout, bar, to),
                      from->x + flag_reach(layout, from) + HOUSE_TIE_BESIDE,
                      runs_beside(staff, from) || runs_beside(staff, to), from->up};
    bool strikes[CHORD_HEADS_MAX] = {false};
    for (int i = 0; i < from->chord.count; i++)
        for (int k = 0; k < to->chord.count; k++)
            strikes[i] |= from->chord.heads[i].line2 == to->chord.heads[k].line2;
    heads_tie(layout, &tie, from, strikes);
}

/* Cut at the line's start or end. `other`: the note that it comes from or goes to; NULL. */
static void tie_loose(struct layout *layout, const struct set_note *note, const struct note *other,
                      sp left, sp right)
{
    const struct voice *voices = layout->score->lesson->kit.voices;
    sp flag = left > note->x ? note->x + flag_reach(layout, note) + HOUSE_TIE_BESIDE : left;
    struct tie tie = {left, right, flag, runs_beside(layout->staff, note), note->up};
    bool strikes[CHORD_HEADS_MAX] = {false};
    for (int i = 0; i < note->chord.count; i++)
        for (int h = 0; other && h < other->hit_count; h++)
            strikes[i] |= layout->staff->one_line ||
                          voices[other->hits[h].voice].line2 == note->chord.heads[i].line2;
    heads_tie(layout, &tie, note, strikes);
}

bool note_rings(const struct set_note *note)
{
    for (int i = 0; i < note->chord.count; i++)
        if (note->chord.heads[i].rings)
            return !note->leaf->tied;
    return false;
}

sp ring_reach(const struct layout *layout, const struct set_note *note)
{
    return tie_left(layout->staff, note) - note->x + HOUSE_TIE_RING;
}

/* A short tie into nothing, at each head that rings. */
static void ring_draw(struct layout *layout, const struct set_note *note)
{
    sp left = tie_left(layout->staff, note);
    struct tie tie = {left, left + HOUSE_TIE_RING,
                      note->x + flag_reach(layout, note) + HOUSE_TIE_BESIDE,
                      runs_beside(layout->staff, note), note->up};
    bool rings[CHORD_HEADS_MAX] = {false};
    for (int i = 0; i < note->chord.count; i++)
        rings[i] = note->chord.heads[i].rings;
    heads_tie(layout, &tie, note, rings);
}

/* `open`: the note that a tie leads on from; NULL. */
static void ties_of_bar(struct layout *layout, const struct set_bar *bar, int line,
                        const struct set_note **open)
{
    const struct set_note *notes = layout->work.notes.items;
    for (size_t i = bar->notes[line].first; i < bar->notes[line].end; i++) {
        const struct set_note *note = &notes[i];
        layout->pen.owner = leaf_owner(layout, bar, line, i);
        if (note->hidden)
            continue;
        if (*open && note->chord.count)
            tie_notes(layout, bar, *open, note);
        if (note_rings(note))
            ring_draw(layout, note);
        *open = note->chord.count && note_leads_on(note) ? note : NULL;
    }
}

/* What is tied into a bar from the last note of the one before it; NULL. */
static const struct note *enters(const struct staff *staff, uint32_t bar, int line)
{
    if (bar == 0)
        return NULL;
    const struct score_line *before = &staff->exercise->bars[bar - 1].lines[line];
    if (!before->leaf_count)
        return NULL;
    const struct leaf *last = &before->leaves[before->leaf_count - 1];
    return leaf_leads_on(last) ? last->note : NULL;
}

/* The first note of a bar; NULL for a rest, or past the exercise's end. */
static const struct note *first_note(const struct staff *staff, uint32_t bar, int line)
{
    if (bar >= staff->exercise->bar_count)
        return NULL;
    const struct score_line *after = &staff->exercise->bars[bar].lines[line];
    return after->leaf_count ? after->leaves[0].note : NULL;
}

bool tie_enters(const struct staff *staff, uint32_t bar)
{
    return enters(staff, bar, LINE_HANDS) || enters(staff, bar, LINE_FEET);
}

void ties_draw(struct layout *layout, const struct music_line *line)
{
    const struct staff *staff = layout->staff;
    const struct work *work = &layout->work;
    const struct set_bar *first = line_first_bar(work), *last = line_last_bar(work);
    for (int which = 0; which < LINE_COUNT; which++) {
        struct range notes = first->notes[which];
        const struct set_note *open = NULL, *note = &work->notes.items[notes.first];
        const struct note *from = enters(staff, line->first_bar, which);
        layout->pen.owner = leaf_owner(layout, first, which, notes.first);
        if (from && notes.end > notes.first && note->chord.count)
            tie_loose(layout, note, from, first->left - HOUSE_TIE_ENTERS,
                      tie_right(layout, first, note));
        for (const struct set_bar *bar = first; bar <= last; bar++)
            ties_of_bar(layout, bar, which, &open);
        if (open)
            tie_loose(layout, open, first_note(staff, line->first_bar + line->bar_count, which),
                      tie_left(staff, open), last->line_left);
    }
}
