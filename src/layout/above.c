#include "layout/layout_state.h"
#include "layout/system_parts.h"

/* Accents and signs of hats: on the stem's side, clear of all ink, neighbours on one line. */

static enum glyph accent_of(const struct set_note *note)
{
    return marks_glyph(note->leaf->note->marks, MARK_AT_ACCENT, note->up);
}

static enum glyph hat_sign_of(const struct set_note *note)
{
    mark_set sign = MARK_NONE;
    for (int i = 0; i < note->chord.count; i++)
        if (note->chord.heads[i].sign)
            sign = note->chord.heads[i].sign;
    return marks_glyph(sign, MARK_AT_SIGN, note->up);
}

static void raise(struct layout *layout, const struct set_note *note, enum glyph glyph,
                  struct mark_owner owner)
{
    sp width = box_width(glyph_ink(layout, glyph)), left = note->x - width / 2;
    sp y = note->up ? skyline_top(&layout->skyline, left, left + width) - HOUSE_ABOVE_GAP
                    : skyline_bottom(&layout->skyline, left, left + width) + HOUSE_ABOVE_GAP;
    *vector_push(&layout->raised, NULL) = (struct raised){
        .y = y, .left = left, .right = left + width, .glyph = (uint16_t)glyph, .owner = owner};
}

/* One row of a line's signs: all are raised before one of them is drawn. */
static void row_draw(struct layout *layout, int line, enum mark_role role,
                     enum glyph (*sign_of)(const struct set_note *))
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        for (size_t i = bar->notes[line].first; i < bar->notes[line].end; i++) {
            const struct set_note *note = &work->notes.items[i];
            bool struck = !note->hidden && leaf_struck(note->leaf);
            enum glyph glyph = struck ? sign_of(note) : GLYPH_NONE;
            if (glyph != GLYPH_NONE)
                raise(layout, note, glyph, leaf_owner(layout, bar, line, i));
        }
    bool below = line == LINE_FEET;
    raised_align(&layout->raised, below);
    for (size_t i = 0; i < layout->raised.count; i++) {
        const struct raised *at = &layout->raised.items[i];
        struct box ink = glyph_ink(layout, at->glyph);
        layout->pen.owner = at->owner;
        pen_glyph(&layout->pen, role, at->glyph, at->left - ink.left,
                  at->y - (below ? ink.top : ink.bottom));
    }
    layout->raised.count = 0;
}

void above_draw(struct layout *layout)
{
    for (int line = 0; line < LINE_COUNT; line++) {
        row_draw(layout, line, ROLE_ACCENT, accent_of);
        row_draw(layout, line, ROLE_OPEN_SIGN, hat_sign_of);
    }
}
