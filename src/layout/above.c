#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/system_parts.h"

/* Accents, signs of hats and the numbers of rolls: on the stem's side, clear of all ink, neighbours
   on one line. */

static struct raised accent_of(const struct set_note *note)
{
    return (struct raised){.glyph =
                               (uint16_t)marks_glyph(note->chord.loud, MARK_AT_ACCENT, note->up)};
}

static struct raised hat_sign_of(const struct set_note *note)
{
    mark_set sign = MARK_NONE;
    for (int i = 0; i < note->chord.count; i++)
        if (note->chord.heads[i].sign)
            sign = note->chord.heads[i].sign;
    return (struct raised){.glyph = (uint16_t)marks_glyph(sign, MARK_AT_SIGN, note->up)};
}

static struct raised roll_number_of(const struct set_note *note)
{
    return (struct raised){.glyph = GLYPH_NONE, .number = note->leaf->note->roll};
}

/* A roll's number uses the stickings' face, so it is not read as a tuplet's, which is italic with
 * serifs. */
static struct short_label number_label(const struct layout *layout, uint8_t roll)
{
    char text[ROLL_NUMBER_ROOM];
    return label_short(layout->metrics, TEXT_ROLL_NUMBER, roll_number_text(roll, text));
}

static struct box sign_ink(const struct layout *layout, const struct raised *sign)
{
    return sign->number ? number_label(layout, sign->number).ink : glyph_ink(layout, sign->glyph);
}

static void raise(struct layout *layout, const struct set_note *note, struct raised sign,
                  struct mark_owner owner)
{
    sp width = box_width(sign_ink(layout, &sign));
    sign.left = note->x - width / 2;
    sign.right = sign.left + width;
    sp gap = sign.number ? HOUSE_TEXT_GAP : 0; /* a stem beside a narrow digit is under it */
    sp left = sign.left - gap, right = sign.right + gap;
    if (note->leaf->value_log2) { /* a narrow sign is over the stem's tip, not beside the stem */
        left = sp_min(left, note->x + note->chord.stem_x);
        right = sp_max(right, note->x + note->chord.stem_x);
    }
    sign.y = note->up ? skyline_top(&layout->skyline, left, right) - HOUSE_ABOVE_GAP
                      : skyline_bottom(&layout->skyline, left, right) + HOUSE_ABOVE_GAP;
    sign.owner = owner;
    *vector_push(&layout->raised, NULL) = sign;
}

static void sign_draw(struct layout *layout, const struct raised *sign, enum mark_role role,
                      bool below)
{
    struct box ink = sign_ink(layout, sign);
    struct box high = sign->number ? number_label(layout, 0).ink : ink; /* one baseline for all */
    sp y = sign->y - (below ? high.top : high.bottom);
    layout->pen.owner = sign->owner;
    if (sign->number)
        pen_label(&layout->pen, role, number_label(layout, sign->number).label,
                  sign->left - ink.left, y);
    else
        pen_glyph(&layout->pen, role, sign->glyph, sign->left - ink.left, y);
}

/* One row of a line's signs: all are raised before one of them is drawn. */
static void row_draw(struct layout *layout, int line, enum mark_role role,
                     struct raised (*sign_of)(const struct set_note *))
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        for (size_t i = bar->notes[line].first; i < bar->notes[line].end; i++) {
            const struct set_note *note = &work->notes.items[i];
            if (note->hidden || !leaf_struck(note->leaf))
                continue;
            struct raised sign = sign_of(note);
            if (sign.glyph != GLYPH_NONE || sign.number)
                raise(layout, note, sign, leaf_owner(layout, bar, line, i));
        }
    bool below = line == LINE_FEET;
    raised_align(&layout->raised, below);
    for (size_t i = 0; i < layout->raised.count; i++)
        sign_draw(layout, &layout->raised.items[i], role, below);
    layout->raised.count = 0;
}

void above_draw(struct layout *layout)
{
    for (int line = 0; line < LINE_COUNT; line++) {
        row_draw(layout, line, ROLE_ACCENT, accent_of);
        row_draw(layout, line, ROLE_OPEN_SIGN, hat_sign_of);
        row_draw(layout, line, ROLE_ROLL_NUMBER, roll_number_of);
    }
}
