#include "layout/layout_int.h"

/* Heads and what belongs to each: legers, parentheses, dots, stems, flags, slashes; and rests. */

static void legers_draw(struct layout *layout, const struct staff *staff,
                        const struct set_note *note, const struct chord_head *head)
{
    if (staff->one_line)
        return;
    const struct engraving_defaults *defaults = layout->defaults;
    sp left = note->x + head->left - defaults->leger_extension;
    sp right = note->x + head->right + defaults->leger_extension;
    for (int line2 = HOUSE_LEGER_UP; line2 <= head->line2; line2 += 2)
        pen_line(&layout->pen, ROLE_LEGER, (struct point){left, staff_y(staff, line2)},
                 (struct point){right, staff_y(staff, line2)}, defaults->leger);
    for (int line2 = HOUSE_LEGER_DOWN; line2 >= head->line2; line2 -= 2)
        pen_line(&layout->pen, ROLE_LEGER, (struct point){left, staff_y(staff, line2)},
                 (struct point){right, staff_y(staff, line2)}, defaults->leger);
}

static void ghost_draw(struct layout *layout, const struct set_note *note,
                       const struct chord_head *head)
{
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    sp left = note->x + head->between[0] - glyphs[GLYPH_PARENTHESIS_LEFT].ink.right;
    sp right = note->x + head->between[1] - glyphs[GLYPH_PARENTHESIS_RIGHT].ink.left;
    pen_glyph(&layout->pen, ROLE_GHOST, GLYPH_PARENTHESIS_LEFT, left, head->y);
    pen_glyph(&layout->pen, ROLE_GHOST, GLYPH_PARENTHESIS_RIGHT, right, head->y);
}

static void dots_draw(struct layout *layout, sp x, sp y, int count)
{
    const struct box *ink = &layout->metrics->glyphs[GLYPH_AUGMENTATION_DOT].ink;
    for (int i = 0; i < count; i++) {
        x += HOUSE_DOT_GAP;
        pen_glyph(&layout->pen, ROLE_DOT, GLYPH_AUGMENTATION_DOT, x - ink->left, y);
        x += box_width(*ink);
    }
}

static void heads_draw(struct layout *layout, const struct staff *staff,
                       const struct set_note *note)
{
    const struct chord *chord = &note->chord;
    sp dots[CHORD_HEADS_MAX];
    chord_dot_places(chord, dots);
    for (int i = 0; i < chord->count; i++) {
        const struct chord_head *head = &chord->heads[i];
        legers_draw(layout, staff, note, head);
        pen_glyph(&layout->pen, ROLE_HEAD, head->glyph, note->x + head->x, head->y);
        if (head->ghost)
            ghost_draw(layout, note, head);
        if (chord->dots)
            dots_draw(layout, note->x + chord->right, dots[i], chord->dots);
    }
}

static void stem_draw(struct layout *layout, const struct set_note *note)
{
    sp x = note->x + note->chord.stem_x, end = note->stem_end;
    if (note->beamed) /* inside its beam, so that no corner looks out of a sloped one */
        end += (note->up ? 1 : -1) * layout->defaults->beam / 2;
    pen_line(&layout->pen, ROLE_STEM, (struct point){x, note->chord.far}, (struct point){x, end},
             layout->defaults->stem);
}

enum glyph flag_glyph(int flags, bool up)
{
    static const enum glyph glyphs[][2] = {{GLYPH_FLAG_8_DOWN, GLYPH_FLAG_8_UP},
                                           {GLYPH_FLAG_16_DOWN, GLYPH_FLAG_16_UP},
                                           {GLYPH_FLAG_32_DOWN, GLYPH_FLAG_32_UP},
                                           {GLYPH_FLAG_64_DOWN, GLYPH_FLAG_64_UP}};
    return glyphs[flags - 1][up];
}

static void flag_draw(struct layout *layout, const struct set_note *note)
{
    enum glyph glyph = flag_glyph(note->beams, note->up);
    const struct glyph_metrics *metrics = &layout->metrics->glyphs[glyph];
    const struct point *anchor = note->up ? &metrics->stem_up_nw : &metrics->stem_down_sw;
    sp left = note->x + note->chord.stem_x - layout->defaults->stem / 2;
    pen_glyph(&layout->pen, ROLE_FLAG, glyph, left - anchor->x, note->stem_end - anchor->y);
}

/* The level strokes of a buzz would vanish in a staff line: within the staff they stand in the
   middle of its spaces, and the sign on a line. */
static sp buzz_height(sp y)
{
    bool inside = y > -500 && y < 4500;
    return inside ? (y + 500) / 1000 * 1000 : y;
}

sp stem_mark_height(const struct layout *layout, const struct set_note *note)
{
    int out = note->up ? -1 : 1;
    if (note->leaf->value_log2 == 0)
        return note->chord.near + out * HOUSE_MARK_BY_WHOLE;
    if (note->beams && !note->beamed)
        return note->chord.near + out * HOUSE_MARK_BY_FLAG;
    sp end = note->stem_end - out * beams_thick(layout->defaults, note->beams);
    sp middle = (note->chord.near + end) / 2;
    return note->leaf->note->marks & MARK_BUZZ ? buzz_height(middle) : middle;
}

static void stem_mark_draw(struct layout *layout, const struct set_note *note)
{
    enum glyph glyph = marks_glyph(note->leaf->note->marks, MARK_AT_STEM, note->up);
    if (glyph == GLYPH_NONE)
        return;
    const struct box *ink = &layout->metrics->glyphs[glyph].ink;
    sp x = note->x + (note->leaf->value_log2 ? note->chord.stem_x : 0);
    pen_glyph(&layout->pen, ROLE_STEM_MARK, glyph, x - (ink->left + ink->right) / 2,
              stem_mark_height(layout, note) - (ink->top + ink->bottom) / 2);
}

static void note_draw(struct layout *layout, const struct staff *staff, const struct set_bar *bar,
                      const struct set_note *note)
{
    heads_draw(layout, staff, note);
    if (note->leaf->value_log2 > 0)
        stem_draw(layout, note);
    if (note->beams && !note->beamed)
        flag_draw(layout, note);
    if (!leaf_struck(note->leaf))
        return;
    stem_mark_draw(layout, note);
    if (note->leaf->note->grace_count)
        graces_draw(layout, staff, note,
                    bar->bar->settings->show->sticking && note->leaf->note->letter);
}

/* In the middle of its bar, or over the bar line in the middle of its two, with the figure that
   says so. */
static void bar_repeat_draw(struct layout *layout, const struct staff *staff,
                            const struct set_bar *bar)
{
    bool two = bar->bar->repeats == 2;
    enum glyph glyph = two ? GLYPH_REPEAT_2_BARS : GLYPH_REPEAT_1_BAR;
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    const struct box *ink = &glyphs[glyph].ink, *digit = &glyphs[GLYPH_TUPLET_0 + 2].ink;
    sp middle = (bar->left + bar->line_left) / 2;
    if (two) {
        sp half = bar_line_width(layout, BAR_LINE_PLAIN) / 2;
        bar_line_draw(layout, staff, BAR_LINE_PLAIN, middle - half);
        pen_glyph(&layout->pen, ROLE_BAR_REPEAT, (enum glyph)(GLYPH_TUPLET_0 + 2),
                  middle - (digit->left + digit->right) / 2,
                  staff->bar_top - HOUSE_ABOVE_GAP - digit->bottom);
    }
    pen_glyph(&layout->pen, ROLE_BAR_REPEAT, glyph, middle - (ink->left + ink->right) / 2,
              (staff->top + staff->bottom) / 2);
}

static void rest_draw(struct layout *layout, const struct set_bar *bar, const struct set_note *note)
{
    enum glyph glyph = rest_glyph(note->leaf->whole_bar ? 0 : note->leaf->value_log2);
    const struct box *ink = &layout->metrics->glyphs[glyph].ink;
    sp centre = note->leaf->whole_bar ? (bar->left + bar->line_left) / 2 : note->x;
    sp x = centre - (ink->left + ink->right) / 2, y = note->rest_y;
    pen_glyph(&layout->pen, ROLE_REST, glyph, x, y);
    if (!note->leaf->whole_bar)
        dots_draw(layout, x + ink->right, y - 500, note->leaf->dots);
}

static void line_draw(struct layout *layout, const struct staff *staff, const struct set_bar *bar,
                      int line)
{
    const struct set_note *notes = layout->work.notes + bar->first_note[line];
    for (uint32_t i = 0; i < bar->note_count[line]; i++) {
        if (notes[i].hidden)
            continue;
        layout->pen.owner = mark_owner(staff->index, (unsigned)line, bar->index, i);
        if (notes[i].chord.count)
            note_draw(layout, staff, bar, &notes[i]);
        else if (bar->bar->repeats)
            bar_repeat_draw(layout, staff, bar);
        else
            rest_draw(layout, bar, &notes[i]);
    }
}

void notes_draw(struct layout *layout, const struct staff *staff)
{
    for (size_t i = 0; i < layout->work.bar_count; i++) {
        line_draw(layout, staff, &layout->work.bars[i], LINE_HANDS);
        line_draw(layout, staff, &layout->work.bars[i], LINE_FEET);
    }
}
