#include "layout/layout_state.h"
#include "layout/notes.h"

/*
 * One grace is a flam's, with a slashed flag; more are a beamed pair or run.
 *
 *       |\         ___
 *      /| \       |  |
 *      o   O      o  o   O
 *      \__/       \_____/
 */

static sp graced(sp length)
{
    return sp_scaled(length, HOUSE_GRACE_SCALE);
}

static sp grace_half(const struct layout *layout)
{
    return graced(box_width(glyph_ink(layout, GLYPH_HEAD_BLACK))) / 2;
}

/* How far a flam's flag reaches right of its head's middle: beside a chord it has to clear all of
   its heads. */
static sp grace_flag_reach(const struct layout *layout)
{
    return grace_half(layout) + graced(box_width(glyph_ink(layout, GLYPH_FLAG_8_UP)));
}

static sp letter_half(struct layout *layout, enum text_style style)
{
    return box_width(label_short(layout->metrics, style, "R").ink) / 2;
}

/* From grace to grace, middle to middle. */
static sp grace_step(struct layout *layout, bool letters)
{
    sp lettered = 2 * letter_half(layout, TEXT_STICKING_GRACE) + HOUSE_LETTER_GAP;
    return letters ? sp_max(lettered, HOUSE_GRACE_STEP) : HOUSE_GRACE_STEP;
}

bool graces_lettered(const struct set_bar *bar, const struct set_note *note)
{
    return bar->bar->settings->show->sticking && note->leaf->note->letter;
}

sp grace_offset(struct layout *layout, const struct note *note, const struct chord *chord,
                bool letters, int grace)
{
    bool flag = note->grace_count == 1 && (chord->count > 1 || chord_graced(chord)->ghost);
    sp last =
        -chord->left + HOUSE_GRACE_LEAD + (flag ? grace_flag_reach(layout) : grace_half(layout));
    if (letters) /* the last one's letter clears its main note's */
        last = sp_max(last, letter_half(layout, TEXT_STICKING) + HOUSE_LETTER_GAP +
                                letter_half(layout, TEXT_STICKING_GRACE));
    return -(last + (note->grace_count - 1 - grace) * grace_step(layout, letters));
}

sp graces_reach(struct layout *layout, const struct leaf *leaf, const struct chord *chord,
                bool letters)
{
    sp half = letters ? grace_step(layout, true) / 2 : grace_half(layout);
    return half - grace_offset(layout, leaf->note, chord, letters, 0);
}

enum glyph grace_glyph(const struct chord *chord)
{
    for (int kind = 0; kind < HEAD_KINDS; kind++)
        for (int value = 0; value < 3; value++)
            if (kind != HEAD_SLASHED &&
                (enum glyph)chord_graced(chord)->glyph == head_glyph((enum head)kind, value))
                return head_glyph((enum head)kind, 2);
    return GLYPH_HEAD_BLACK;
}

/* Whether nothing stands so near below the main head that a slur would meet it. */
static bool slur_has_room(const struct layout *layout, const struct set_note *note)
{
    enum { TWO_SPACES = 4 };
    const struct staff *staff = layout->staff;
    const struct chord_head *head = chord_graced(&note->chord);
    bool lowest = head == note->chord.heads;
    return note->up && (lowest || head->line2 - head[-1].line2 >= TWO_SPACES) &&
           (!staff->feet || staff->join_feet ||
            (!staff->one_line && head->line2 - staff->feet_top >= TWO_SPACES));
}

/* A slur leads from the middle of the first grace to that of the main head; to its side where the
   head has something close below it. */
static sp slur_end(const struct layout *layout, const struct set_note *note)
{
    const struct chord_head *head = chord_graced(&note->chord);
    return slur_has_room(layout, note) ? (head->left + head->right) / 2 : note->chord.left;
}

struct grace_boxes graces_boxes(struct layout *layout, const struct set_note *note, bool letters)
{
    const struct engraving_defaults *defaults = layout->defaults;
    const struct note *struck = note->leaf->note;
    const struct chord_head *head = chord_graced(&note->chord);
    bool alone = struck->grace_count == 1;
    sp first = grace_offset(layout, struck, &note->chord, letters, 0);
    sp last = grace_offset(layout, struck, &note->chord, letters, struck->grace_count - 1);
    sp half = grace_half(layout), end = head->y - HOUSE_GRACE_STEM;
    sp slur = head->y + HOUSE_GRACE_SLUR_DROP, slash = end + HOUSE_GRACE_SLASH_DROP;
    sp stem = first + half - graced(defaults->stem), rise = HOUSE_GRACE_SLASH * 3 / 4;
    struct grace_boxes boxes = {
        .stems = {stem - graced(defaults->stem), end,
                  last + (alone ? grace_flag_reach(layout) : half), head->y},
        .slur = {first, slur, slur_end(layout, note),
                 slur + HOUSE_GRACE_SLUR_FALL / 2 + HOUSE_GRACE_SLUR_HEIGHT +
                     defaults->tie_middle / 2},
    };
    if (alone)
        boxes.slash = (struct box){stem - HOUSE_GRACE_SLASH, slash - rise, stem + HOUSE_GRACE_SLASH,
                                   slash + rise};
    if (!layout->staff->one_line && head->line2 >= HOUSE_LEGER_UP) {
        sp reach = half + graced(defaults->leger_extension);
        boxes.legers = (struct box){first - reach, head->y, last + reach,
                                    staff_y(layout->staff, HOUSE_LEGER_UP) + defaults->leger};
    }
    return boxes;
}

/* ---- drawing ------------------------------------------------------------------------------ */

struct grace_run {
    struct layout *layout;
    struct pen *pen;
    const struct set_note *note;
    sp x[GRACES_MAX]; /* heads' middles */
    int count;
    sp y, stem_dx, stem_end;
};

static void grace_heads(struct grace_run *run)
{
    enum glyph glyph = grace_glyph(&run->note->chord);
    const struct glyph_metrics *head = &run->layout->metrics->glyphs[glyph];
    sp middle = graced(head->ink.left + head->ink.right) / 2;
    sp stem = graced(run->layout->defaults->stem), join = run->y + graced(head->stem_up_se.y);
    run->stem_dx = graced(head->stem_up_se.x) - middle - stem / 2;
    for (int i = 0; i < run->count; i++) {
        pen_glyph_scaled(run->pen, ROLE_GRACE_HEAD, glyph, run->x[i] - middle, run->y,
                         HOUSE_GRACE_SCALE);
        pen_upright(run->pen, ROLE_GRACE_STEM, run->x[i] + run->stem_dx, join, run->stem_end, stem);
    }
}

static void grace_legers(struct grace_run *run, const struct staff *staff, int line2)
{
    const struct engraving_defaults *defaults = run->layout->defaults;
    sp reach = grace_half(run->layout) + graced(defaults->leger_extension);
    int legers = line2 >= HOUSE_LEGER_UP ? staff_legers(staff, line2) : 0;
    for (int leger = 0; leger < legers; leger++)
        for (int i = 0; i < run->count; i++)
            pen_horizontal(run->pen, ROLE_GRACE_LEGER, run->x[i] - reach, run->x[i] + reach,
                           staff_leger_y(staff, line2, leger), defaults->leger);
}

/* The slash crosses stem and flag, rising to the right. */
static void grace_flag(struct grace_run *run)
{
    struct point anchor = run->layout->metrics->glyphs[GLYPH_FLAG_8_UP].stem_up_nw;
    sp stem = graced(run->layout->defaults->stem), x = run->x[0] + run->stem_dx;
    sp middle = run->stem_end + HOUSE_GRACE_SLASH_DROP, reach = HOUSE_GRACE_SLASH;
    pen_glyph_scaled(run->pen, ROLE_GRACE_FLAG, GLYPH_FLAG_8_UP, x - stem / 2 - graced(anchor.x),
                     run->stem_end - graced(anchor.y), HOUSE_GRACE_SCALE);
    pen_line(run->pen, ROLE_GRACE_SLASH, (struct point){x - reach, middle + reach * 3 / 4},
             (struct point){x + reach, middle - reach * 3 / 4}, stem);
}

static void grace_beams(struct grace_run *run)
{
    const struct engraving_defaults *defaults = run->layout->defaults;
    sp half = graced(defaults->stem) / 2, thick = graced(defaults->beam);
    sp left = run->x[0] + run->stem_dx - half, right = run->x[run->count - 1] + run->stem_dx + half;
    for (int level = 0; level < 2; level++) {
        sp y = run->stem_end + thick / 2 + level * graced(defaults->beam + defaults->beam_gap);
        pen_beam(run->pen, ROLE_GRACE_BEAM, (struct point){left, y}, (struct point){right, y},
                 thick);
    }
}

static void grace_slur(struct grace_run *run)
{
    sp y = run->y + HOUSE_GRACE_SLUR_DROP;
    pen_curve(
        run->pen, ROLE_GRACE_SLUR, (struct point){run->x[0], y},
        (struct point){run->note->x + slur_end(run->layout, run->note), y + HOUSE_GRACE_SLUR_FALL},
        -HOUSE_GRACE_SLUR_HEIGHT);
}

void graces_draw(struct layout *layout, const struct set_note *note, bool letters)
{
    struct grace_run run = {.layout = layout, .pen = &layout->pen, .note = note};
    const struct note *struck = note->leaf->note;
    run.count = struck->grace_count > GRACES_MAX ? GRACES_MAX : struck->grace_count;
    const struct chord_head *head = chord_graced(&note->chord);
    run.y = head->y;
    run.stem_end = run.y - HOUSE_GRACE_STEM;
    for (int i = 0; i < run.count; i++)
        run.x[i] = note->x + grace_offset(layout, struck, &note->chord, letters, i);
    grace_heads(&run);
    grace_legers(&run, layout->staff, head->line2);
    if (run.count == 1)
        grace_flag(&run);
    else
        grace_beams(&run);
    grace_slur(&run);
}
