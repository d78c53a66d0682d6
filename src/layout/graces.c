#include "layout/layout_int.h"

/*
 * Grace notes before a head: one is a flam's (slashed flag), more are a beamed pair or run.
 *
 *       |\         ___
 *      /| \       |  |
 *      o   O      o  o   O
 *      \__/       \_____/
 */

static sp graced(sp length)
{
    return (sp)((int64_t)length * HOUSE_GRACE_SCALE / 1000);
}

static sp grace_half(const struct layout *layout)
{
    return graced(box_width(layout->metrics->glyphs[GLYPH_HEAD_BLACK].ink)) / 2;
}

/* A flam's flag reaches this far right of its head's centre: beside a chord it has to clear all of
   its heads. */
static sp grace_flag_reach(const struct layout *layout)
{
    return grace_half(layout) + graced(box_width(layout->metrics->glyphs[GLYPH_FLAG_8_UP].ink));
}

/* With letters, the last one also has to clear its main note's letter. */
static sp letters_apart(struct layout *layout)
{
    const struct short_label *big =
        label_short(&layout->labels, layout->metrics, TEXT_STICKING, "R");
    sp half = (big->right - big->left) / 2;
    const struct short_label *small =
        label_short(&layout->labels, layout->metrics, TEXT_STICKING_GRACE, "R");
    return half + HOUSE_TEXT_GAP + (small->right - small->left) / 2;
}

sp grace_offset(struct layout *layout, const struct note *note, const struct chord *chord,
                bool letters, int grace)
{
    sp last = -chord->left + HOUSE_GRACE_LEAD + grace_half(layout);
    if (note->grace_count == 1 && (chord->count > 1 || chord->heads[0].ghost))
        last = -chord->left + HOUSE_GRACE_LEAD + grace_flag_reach(layout);
    sp step = letters ? HOUSE_GRACE_LETTER_STEP : HOUSE_GRACE_STEP;
    if (letters)
        last = sp_max(last, letters_apart(layout));
    return -(last + (note->grace_count - 1 - grace) * step);
}

sp graces_reach(struct layout *layout, const struct leaf *leaf, const struct chord *chord,
                bool letters)
{
    sp half = letters ? HOUSE_GRACE_LETTER_STEP / 2 : grace_half(layout);
    return half - grace_offset(layout, leaf->note, chord, letters, 0);
}

enum glyph grace_glyph(const struct chord *chord)
{
    for (int kind = 0; kind < HEAD_KINDS; kind++)
        for (int value = 0; value < 3; value++)
            if (kind != HEAD_SLASHED &&
                (enum glyph)chord->heads[0].glyph == head_glyph((enum head)kind, value))
                return head_glyph((enum head)kind, 2);
    return GLYPH_HEAD_BLACK;
}

void graces_boxes(struct layout *layout, const struct staff *staff, const struct set_note *note,
                  bool letters, struct grace_boxes *boxes)
{
    const struct engraving_defaults *defaults = layout->defaults;
    const struct note *struck = note->leaf->note;
    sp first = grace_offset(layout, struck, &note->chord, letters, 0);
    sp last = grace_offset(layout, struck, &note->chord, letters, struck->grace_count - 1);
    sp y = note->chord.heads[0].y, half = grace_half(layout), end = y - HOUSE_GRACE_STEM;
    sp stem = half - graced(defaults->stem);
    bool alone = struck->grace_count == 1;
    boxes->stems = (struct box){first + stem - graced(defaults->stem), end,
                                last + (alone ? grace_flag_reach(layout) : half), y};
    sp slash = end + HOUSE_GRACE_SLASH_DROP, rise = HOUSE_GRACE_SLASH * 3 / 4;
    boxes->slash = (struct box){0, 0, -1, -1};
    if (alone)
        boxes->slash = (struct box){first + stem - HOUSE_GRACE_SLASH, slash - rise,
                                    first + stem + HOUSE_GRACE_SLASH, slash + rise};
    sp slur = y + HOUSE_GRACE_SLUR_DROP;
    boxes->slur = (struct box){first, slur, note->chord.left,
                               slur + HOUSE_GRACE_SLUR_FALL / 2 + HOUSE_GRACE_SLUR_HEIGHT +
                                   defaults->tie_middle / 2};
    boxes->legers = (struct box){0, 0, -1, -1};
    if (!staff->one_line && note->chord.heads[0].line2 >= HOUSE_LEGER_UP) {
        sp reach = half + graced(defaults->leger_extension);
        boxes->legers = (struct box){first - reach, y, last + reach,
                                     staff_y(staff, HOUSE_LEGER_UP) + defaults->leger};
    }
}

struct grace_run {
    struct layout *layout;
    const struct set_note *note;
    sp x[GRACES_MAX]; /* heads' centres */
    int count;
    sp y, stem_dx, stem_end;
};

static void grace_heads(struct grace_run *run)
{
    struct pen *pen = &run->layout->pen;
    enum glyph glyph = grace_glyph(&run->note->chord);
    const struct glyph_metrics *head = &run->layout->metrics->glyphs[glyph];
    sp middle = graced(head->ink.left + head->ink.right) / 2;
    sp stem = graced(run->layout->defaults->stem);
    run->stem_dx = graced(head->stem_up_se.x) - middle - stem / 2;
    for (int i = 0; i < run->count; i++) {
        sp join = run->y + graced(head->stem_up_se.y), x = run->x[i] + run->stem_dx;
        pen_glyph_scaled(pen, ROLE_GRACE_HEAD, glyph, run->x[i] - middle, run->y,
                         HOUSE_GRACE_SCALE);
        pen_line(pen, ROLE_GRACE_STEM, (struct point){x, join}, (struct point){x, run->stem_end},
                 stem);
    }
}

static void grace_legers(struct grace_run *run, const struct staff *staff, int line2)
{
    const struct engraving_defaults *defaults = run->layout->defaults;
    sp reach = grace_half(run->layout) + graced(defaults->leger_extension);
    for (int at = HOUSE_LEGER_UP; !staff->one_line && at <= line2; at += 2)
        for (int i = 0; i < run->count; i++)
            pen_line(&run->layout->pen, ROLE_GRACE_LEGER,
                     (struct point){run->x[i] - reach, staff_y(staff, at)},
                     (struct point){run->x[i] + reach, staff_y(staff, at)}, defaults->leger);
}

static void grace_flag(struct grace_run *run)
{
    struct pen *pen = &run->layout->pen;
    const struct point *anchor = &run->layout->metrics->glyphs[GLYPH_FLAG_8_UP].stem_up_nw;
    sp stem = graced(run->layout->defaults->stem), x = run->x[0] + run->stem_dx;
    pen_glyph_scaled(pen, ROLE_GRACE_FLAG, GLYPH_FLAG_8_UP, x - stem / 2 - graced(anchor->x),
                     run->stem_end - graced(anchor->y), HOUSE_GRACE_SCALE);
    /* The slash crosses stem and flag, rising to the right. */
    sp middle = run->stem_end + HOUSE_GRACE_SLASH_DROP, reach = HOUSE_GRACE_SLASH;
    pen_line(pen, ROLE_GRACE_SLASH, (struct point){x - reach, middle + reach * 3 / 4},
             (struct point){x + reach, middle - reach * 3 / 4}, stem);
}

static void grace_beams(struct grace_run *run)
{
    const struct engraving_defaults *defaults = run->layout->defaults;
    sp half = graced(defaults->stem) / 2, thick = graced(defaults->beam);
    sp left = run->x[0] + run->stem_dx - half, right = run->x[run->count - 1] + run->stem_dx + half;
    for (int level = 0; level < 2; level++) {
        sp y = run->stem_end + thick / 2 + level * graced(defaults->beam + defaults->beam_gap);
        pen_beam(&run->layout->pen, ROLE_GRACE_BEAM, (struct point){left, y},
                 (struct point){right, y}, thick);
    }
}

static void grace_slur(struct grace_run *run)
{
    sp y = run->y + HOUSE_GRACE_SLUR_DROP;
    pen_curve(&run->layout->pen, ROLE_GRACE_SLUR, (struct point){run->x[0], y},
              (struct point){run->note->x + run->note->chord.left, y + HOUSE_GRACE_SLUR_FALL},
              -HOUSE_GRACE_SLUR_HEIGHT);
}

void graces_draw(struct layout *layout, const struct staff *staff, const struct set_note *note,
                 bool letters)
{
    struct grace_run run = {.layout = layout, .note = note};
    run.count = note->leaf->note->grace_count;
    run.count = run.count > GRACES_MAX ? GRACES_MAX : run.count;
    run.y = note->chord.heads[0].y;
    run.stem_end = run.y - HOUSE_GRACE_STEM;
    for (int i = 0; i < run.count; i++)
        run.x[i] = note->x + grace_offset(layout, note->leaf->note, &note->chord, letters, i);
    grace_heads(&run);
    grace_legers(&run, staff, note->chord.heads[0].line2);
    if (run.count == 1)
        grace_flag(&run);
    else
        grace_beams(&run);
    grace_slur(&run);
}
