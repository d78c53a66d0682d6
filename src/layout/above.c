#include "layout/layout_int.h"

#include <stdlib.h>

/* Accents and open signs: on the stem's side, clear of all ink, neighbours on one line. */

static int by_height(const void *a, const void *b)
{
    const struct raised *const *left = a, *const *right = b;
    if ((*left)->y != (*right)->y)
        return (*left)->y < (*right)->y ? -1 : 1;
    return *left < *right ? -1 : 1;
}

void raised_align(struct raised *raised, size_t count, bool below)
{
    struct raised **order = memory_alloc((count + 1) * sizeof *order);
    for (size_t i = 0; i < count; i++)
        order[i] = &raised[i];
    qsort(order, count, sizeof *order, by_height);
    sp line = 0;
    for (size_t k = 0; k < count; k++) {
        struct raised *at = order[below ? count - 1 - k : k];
        sp inside = below ? line - at->y : at->y - line;
        if (k == 0 || inside >= HOUSE_ONE_LINE_OF)
            line = at->y;
        at->y = line;
    }
    memory_free(order);
}

/* `y`: the height of the ink edge that faces the staff. */
static void raise(struct layout *layout, const struct set_note *note, enum glyph glyph)
{
    struct work *work = &layout->work;
    const struct box *ink = &layout->metrics->glyphs[glyph].ink;
    if (glyph == GLYPH_NONE)
        return;
    struct raised *raised = row_push(work->raised, work->raised_count, work->raised_room);
    raised->left = note->x - box_width(*ink) / 2;
    raised->right = raised->left + box_width(*ink);
    raised->glyph = (uint16_t)glyph;
    raised->owner = layout->pen.owner;
    raised->y =
        note->up ? skyline_top(&layout->skyline, raised->left, raised->right) - HOUSE_ABOVE_GAP
                 : skyline_bottom(&layout->skyline, raised->left, raised->right) + HOUSE_ABOVE_GAP;
}

static void raise_accent(struct layout *layout, const struct set_note *note)
{
    raise(layout, note, marks_glyph(note->leaf->note->marks, MARK_AT_ACCENT, note->up));
}

static void raise_open(struct layout *layout, const struct set_note *note)
{
    mark_set sign = MARK_NONE;
    for (int i = 0; i < note->chord.count; i++)
        if (note->chord.heads[i].sign)
            sign = note->chord.heads[i].sign;
    raise(layout, note, marks_glyph(sign, MARK_AT_SIGN, note->up));
}

static void raise_line(struct layout *layout, const struct staff *staff, int line,
                       void (*each)(struct layout *, const struct set_note *))
{
    for (size_t b = 0; b < layout->work.bar_count; b++) {
        const struct set_bar *bar = &layout->work.bars[b];
        const struct set_note *notes = layout->work.notes + bar->first_note[line];
        for (uint32_t i = 0; i < bar->note_count[line]; i++) {
            if (notes[i].hidden || !leaf_struck(notes[i].leaf))
                continue;
            layout->pen.owner = mark_owner(staff->index, (unsigned)line, bar->index, i);
            each(layout, &notes[i]);
        }
    }
}

static void raised_draw(struct layout *layout, enum mark_role role, bool below)
{
    struct work *work = &layout->work;
    raised_align(work->raised, work->raised_count, below);
    for (size_t i = 0; i < work->raised_count; i++) {
        const struct raised *at = &work->raised[i];
        const struct box *ink = &layout->metrics->glyphs[at->glyph].ink;
        layout->pen.owner = at->owner;
        pen_glyph(&layout->pen, role, at->glyph, at->left - ink->left,
                  at->y - (below ? ink->top : ink->bottom));
    }
    work->raised_count = 0;
}

void above_draw(struct layout *layout, const struct staff *staff)
{
    for (int line = 0; line < LINE_COUNT; line++) {
        raise_line(layout, staff, line, raise_accent);
        raised_draw(layout, ROLE_ACCENT, line == LINE_FEET);
        raise_line(layout, staff, line, raise_open);
        raised_draw(layout, ROLE_OPEN_SIGN, line == LINE_FEET);
    }
}
