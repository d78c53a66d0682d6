#include "layout/notes.h"

#include "layout/bar_signs.h"
#include "layout/beams.h"
#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/system_parts.h"

/* Of the foot that strikes, or of both. */
static uint8_t limb_letter(const struct note *note)
{
    uint8_t letter = 0;
    for (int i = 0; i < note->hit_count; i++) {
        uint8_t limb = note->hits[i].limb == LIMB_LEFT_FOOT ? 'L' : 'R';
        letter = letter && letter != limb ? 'B' : limb;
    }
    return letter;
}

const char *note_letter(const struct layout *layout, const struct set_bar *bar,
                        const struct set_note *note, int line)
{
    if (!leaf_struck(note->leaf))
        return NULL;
    uint8_t letter = note->leaf->note->letter;
    if (!letter && line == LINE_FEET && layout->staff->feet_letters && !bar->bar->hands_apart)
        letter = limb_letter(note->leaf->note);
    return letter ? letter_text(letter) : NULL;
}

enum page_row letter_row(const struct work *work, const struct set_bar *bar,
                         const struct set_note *note, int line)
{
    if (line == LINE_HANDS)
        return ROW_LETTERS;
    if (bar->bar->hands_apart)
        return ROW_LEFT_LETTERS;
    uint32_t hands = work->columns.items[note->column].hands;
    bool alone = hands == NONE || !leaf_struck(&bar->bar->lines[LINE_HANDS].leaves[hands]);
    return alone && is_foot_letter(note->leaf->note->letter) ? ROW_LETTERS : ROW_FEET_LETTERS;
}

static void legers_draw(struct layout *layout, const struct set_note *note,
                        const struct chord_head *head)
{
    sp extension = layout->defaults->leger_extension;
    for (int i = 0; i < staff_legers(layout->staff, head->line2); i++)
        pen_horizontal(&layout->pen, ROLE_LEGER, note->x + head->left - extension,
                       note->x + head->right + extension,
                       staff_leger_y(layout->staff, head->line2, i), layout->defaults->leger);
}

static void ghost_draw(struct layout *layout, const struct set_note *note,
                       const struct chord_head *head)
{
    sp left = head->between[0] - glyph_ink(layout, GLYPH_PARENTHESIS_LEFT).right;
    sp right = head->between[1] - glyph_ink(layout, GLYPH_PARENTHESIS_RIGHT).left;
    pen_glyph(&layout->pen, ROLE_GHOST, GLYPH_PARENTHESIS_LEFT, note->x + left, head->y);
    pen_glyph(&layout->pen, ROLE_GHOST, GLYPH_PARENTHESIS_RIGHT, note->x + right, head->y);
}

static void dots_draw(struct layout *layout, sp x, sp y, int count)
{
    struct box ink = glyph_ink(layout, GLYPH_AUGMENTATION_DOT);
    for (int i = 0; i < count; i++) {
        x += HOUSE_DOT_GAP;
        pen_glyph(&layout->pen, ROLE_DOT, GLYPH_AUGMENTATION_DOT, x - ink.left, y);
        x += box_width(ink);
    }
}

bool rest_has_leger(const struct staff *staff, const struct set_note *rest)
{
    bool lies_on_line = rest->leaf->whole_bar || rest->leaf->value_log2 < 2;
    return lies_on_line && (rest->rest_y < staff->top || rest->rest_y > staff->bottom);
}

static void heads_draw(struct layout *layout, const struct set_note *note)
{
    const struct chord *chord = &note->chord;
    sp dots[CHORD_HEADS_MAX];
    chord_dot_places(chord, dots);
    for (int i = 0; i < chord->count; i++) {
        const struct chord_head *head = &chord->heads[i];
        legers_draw(layout, note, head);
        pen_glyph(&layout->pen, ROLE_HEAD, head->glyph, note->x + head->x, head->y);
        if (head->ghost)
            ghost_draw(layout, note, head);
        dots_draw(layout, note->x + chord->right, dots[i], chord->dots);
    }
}

static void stem_draw(struct layout *layout, const struct set_note *note)
{
    sp end = note->stem_end;
    if (note->beamed) /* inside its beam, so that no corner looks out of a sloped one */
        end += (note->up ? 1 : -1) * layout->defaults->beam / 2;
    pen_upright(&layout->pen, ROLE_STEM, note->x + note->chord.stem_x, note->chord.far, end,
                layout->defaults->stem);
}

struct point flag_origin(const struct layout *layout, const struct set_note *note, sp end)
{
    const struct glyph_metrics *flag = &layout->metrics->glyphs[flag_glyph(note->beams, note->up)];
    struct point anchor = note->up ? flag->stem_up_nw : flag->stem_down_sw;
    sp stem_left = note->chord.stem_x - layout->defaults->stem / 2;
    return (struct point){stem_left - anchor.x, end - anchor.y};
}

static void flag_draw(struct layout *layout, const struct set_note *note)
{
    struct point at = flag_origin(layout, note, note->stem_end);
    pen_glyph(&layout->pen, ROLE_FLAG, flag_glyph(note->beams, note->up), note->x + at.x, at.y);
}

/* The level strokes of a buzz would vanish in a staff line. So within the staff they stand in the
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
        return note->chord.near + out * (HOUSE_MARK_BY_WHOLE + third_slash(note));
    if (note->beams && !note->beamed)
        return note->chord.near + out * (HOUSE_MARK_BY_FLAG + third_slash(note));
    sp end = note->stem_end - out * beams_thick(layout->defaults, note->beams);
    sp middle = (note->chord.near + end) / 2;
    return note->leaf->note->marks & MARK_BUZZ ? buzz_height(middle) : middle;
}

static void stem_mark_draw(struct layout *layout, const struct set_note *note)
{
    enum glyph glyph = marks_glyph(leaf_stem_marks(note->leaf), MARK_AT_STEM, note->up);
    if (glyph == GLYPH_NONE)
        return;
    struct box ink = glyph_ink(layout, glyph);
    sp x = note->x + (note->leaf->value_log2 ? note->chord.stem_x : 0);
    pen_glyph(&layout->pen, ROLE_STEM_MARK, glyph, x - box_middle_x(ink),
              stem_mark_height(layout, note) - box_middle_y(ink));
}

static void note_draw(struct layout *layout, const struct set_bar *bar, const struct set_note *note)
{
    heads_draw(layout, note);
    if (note->leaf->value_log2 > 0)
        stem_draw(layout, note);
    if (note->beams && !note->beamed)
        flag_draw(layout, note);
    stem_mark_draw(layout, note);
    if (leaf_struck(note->leaf) && note->leaf->note->grace_count)
        graces_draw(layout, note, graces_lettered(bar, note));
}

/* A half or whole rest off the staff has the line that it sits on, or hangs from. */
static void rest_leger_draw(struct layout *layout, const struct set_note *note, struct box ink,
                            sp x)
{
    if (!rest_has_leger(layout->staff, note))
        return;
    sp extension = layout->defaults->leger_extension;
    pen_horizontal(&layout->pen, ROLE_LEGER, x + ink.left - extension, x + ink.right + extension,
                   note->rest_y, layout->defaults->leger);
}

static void rest_draw(struct layout *layout, const struct set_bar *bar, const struct set_note *note)
{
    enum glyph glyph = (enum glyph)note->rest_glyph;
    enum mark_role role = bar->bar->slashes ? ROLE_SLASH : ROLE_REST;
    struct box ink = glyph_ink(layout, glyph);
    sp x = note->x - box_middle_x(ink);
    pen_glyph(&layout->pen, role, glyph, x, note->rest_y);
    rest_leger_draw(layout, note, ink, x);
    dots_draw(layout, x + ink.right, note->rest_y - 500, note->leaf->dots);
}

/* Whether ink of this height about the middle of a bar would meet a head of the line. */
static bool meets_head(const struct layout *layout, const struct set_bar *bar, int line,
                       struct box ink)
{
    for (size_t i = bar->notes[line].first; i < bar->notes[line].end; i++) {
        const struct set_note *note = &layout->work.notes.items[i];
        for (int h = 0; h < note->chord.count; h++) {
            struct box head = glyph_ink(layout, (enum glyph)note->chord.heads[h].glyph);
            sp y = note->chord.heads[h].y;
            if (note->x + note->chord.left < ink.right && note->x + note->chord.right > ink.left &&
                y + head.top < ink.bottom && y + head.bottom > ink.top)
                return true;
        }
    }
    return false;
}

/* In the middle of its bar, off the heads of the other line by whole spaces. */
static void bar_rest_draw(struct layout *layout, const struct set_bar *bar, int line,
                          struct set_note rest)
{
    struct box ink = glyph_ink(layout, rest_glyph(0));
    sp x = (bar->left + bar->line_left) / 2 - box_middle_x(ink);
    struct box room = {x + ink.left - HOUSE_REST_APART, rest.rest_y + ink.top - HOUSE_REST_APART,
                       x + ink.right + HOUSE_REST_APART,
                       rest.rest_y + ink.bottom + HOUSE_REST_APART};
    sp step = line == LINE_HANDS ? -HOUSE_REST_STEP : HOUSE_REST_STEP;
    for (; meets_head(layout, bar, LINE_COUNT - 1 - line, room); room.bottom += step) {
        room.top += step;
        rest.rest_y += step;
    }
    pen_glyph(&layout->pen, ROLE_REST, rest_glyph(0), x, rest.rest_y);
    rest_leger_draw(layout, &rest, ink, x);
}

static void line_draw(struct layout *layout, const struct set_bar *bar, int line)
{
    const struct set_note *notes = layout->work.notes.items;
    for (size_t i = bar->notes[line].first; i < bar->notes[line].end; i++) {
        if (notes[i].hidden)
            continue;
        layout->pen.owner = leaf_owner(layout, bar, line, i);
        if (notes[i].chord.count)
            note_draw(layout, bar, &notes[i]);
        else if (bar->bar->repeats || bar->bar->rests > 1)
            bar_sign_draw(layout, bar);
        else if (notes[i].leaf->whole_bar && !bar->bar->slashes)
            bar_rest_draw(layout, bar, line, notes[i]);
        else
            rest_draw(layout, bar, &notes[i]);
    }
}

void notes_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (size_t b = work->line_bars.first; b < work->line_bars.end; b++)
        for (int line = 0; line < LINE_COUNT; line++)
            line_draw(layout, &work->bars.items[b], line);
}
