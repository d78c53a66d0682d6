#include "layout/equation.h"

#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/text.h"

/*
 *      ____      ,-3-.
 *     |  |       |  |\
 *     o  o   =   o  o          4  =  4.
 */

sp note_text_scaled(const struct layout *layout, sp length)
{
    return (sp)((int64_t)length * paper_scale(layout, HOUSE_TEMPO_SCALE) / 1000);
}

static sp scaled(const struct note_text *at, sp length)
{
    return note_text_scaled(at->layout, length);
}

void note_text_words(struct note_text *at, const char *text)
{
    label_id label = metrics_label(at->layout->metrics, TEXT_TEMPO, text, strlen(text));
    if (at->pen)
        pen_label(at->pen, ROLE_TEMPO, label, at->x, at->y);
    at->x += metrics_of_label(at->layout->metrics, label)->advance;
}

static void glyph_set(struct note_text *at, enum glyph glyph)
{
    struct box ink = glyph_ink(at->layout, glyph);
    if (at->pen)
        pen_glyph_scaled(at->pen, ROLE_TEMPO_NOTE, glyph, at->x - scaled(at, ink.left), at->y,
                         paper_scale(at->layout, HOUSE_TEMPO_SCALE));
    at->x += scaled(at, box_width(ink));
    at->top = sp_min(at->top, at->y + scaled(at, ink.top));
}

/* The note's right end is the right side of its stem; returned. */
static sp note_set(struct note_text *at, struct small_note note, bool beamed)
{
    glyph_set(at, beamed ? GLYPH_NOTE_QUARTER : small_note_glyph(note.log2));
    sp stem_right = at->x;
    for (int i = 0; i < note.dots; i++) {
        at->x += scaled(at, HOUSE_DOT_GAP);
        glyph_set(at, GLYPH_NOTE_DOT);
    }
    return stem_right;
}

void note_text_note(struct note_text *at, struct small_note note)
{
    note_set(at, note, false);
}

static void beams_of(const struct note_text *at, const struct small_group *group,
                     const sp *stem_right)
{
    const struct engraving_defaults *defaults = at->layout->defaults;
    sp thick = scaled(at, defaults->beam), stem = scaled(at, defaults->stem);
    for (int level = 0; level < 3; level++) {
        bool first = group->notes[0].log2 > 2 + level, last = group->notes[1].log2 > 2 + level;
        sp left = first ? stem_right[0] - stem : stem_right[1] - scaled(at, HOUSE_STUB);
        sp right = last ? stem_right[1] : stem_right[0] - stem + scaled(at, HOUSE_STUB);
        sp y = at->top + thick / 2 + level * scaled(at, defaults->beam + defaults->beam_gap);
        if (first || last)
            pen_beam(at->pen, ROLE_TEMPO_NOTE, (struct point){left, y}, (struct point){right, y},
                     thick);
    }
}

static enum glyph number_glyph(const struct small_group *group)
{
    return (enum glyph)(GLYPH_TUPLET_0 + group->tuplet % 10);
}

/* Half of the number with the white beside it. */
static sp number_half(const struct note_text *at, const struct small_group *group)
{
    return scaled(at, box_width(glyph_ink(at->layout, number_glyph(group)))) / 2 +
           scaled(at, HOUSE_TUPLET_CLEAR) / 2;
}

/* The tuplet's number over the middle of a beam; else in a bracket. */
static void number_of(const struct note_text *at, const struct small_group *group, sp left,
                      sp right, bool beamed)
{
    struct pen *pen = at->pen;
    struct box ink = glyph_ink(at->layout, number_glyph(group));
    sp middle = (left + right) / 2, half = number_half(at, group);
    sp y = at->top - scaled(at, HOUSE_TUPLET_GAP + ink.bottom);
    pen_glyph_scaled(pen, ROLE_TEMPO_NOTE, number_glyph(group),
                     middle - scaled(at, box_middle_x(ink)), y,
                     paper_scale(at->layout, HOUSE_TEMPO_SCALE));
    if (beamed)
        return;
    sp line = y + scaled(at, ink.top + ink.bottom) / 2;
    sp width = at->layout->defaults->tuplet_bracket;
    for (int side = -1; side <= 1; side += 2) {
        sp end = side < 0 ? left + width / 2 : right - width / 2;
        pen_horizontal(pen, ROLE_TEMPO_NOTE, end, middle + side * half, line, width);
        pen_upright(pen, ROLE_TEMPO_NOTE, end, line - width / 2,
                    line + scaled(at, HOUSE_TUPLET_HOOK), width);
    }
}

/* A lone note is narrower than its number's bracket: room on either side. */
static sp lone_room(const struct note_text *at, const struct small_group *group)
{
    if (!group->tuplet || group->count > 1)
        return 0;
    sp note = box_width(glyph_ink(at->layout, small_note_glyph(group->notes[0].log2)));
    sp bracket = number_half(at, group) + scaled(at, HOUSE_TUPLET_HOOK);
    return sp_max(0, bracket - scaled(at, note) / 2);
}

static void group_set(struct note_text *at, const struct small_group *group)
{
    bool beamed = group->count == 2 && group->notes[0].log2 > 2 && group->notes[1].log2 > 2;
    sp left = at->x, stem_right[2] = {0};
    at->top = at->y;
    at->x += lone_room(at, group);
    for (int i = 0; i < group->count; i++) {
        at->x += i ? scaled(at, HOUSE_SMALL_NOTE_GAP) : 0;
        stem_right[i] = note_set(at, group->notes[i], beamed);
    }
    at->x += lone_room(at, group);
    if (beamed && at->pen)
        beams_of(at, group, stem_right);
    if (group->tuplet && at->pen)
        number_of(at, group, beamed ? stem_right[0] - scaled(at, at->layout->defaults->stem) : left,
                  beamed ? stem_right[1] : at->x, beamed);
}

void note_text_equation(struct note_text *at, const struct equation *equation)
{
    sp gap = paper(at->layout, HOUSE_TEMPO_GAP_UM);
    group_set(at, &equation->sides[0]);
    at->x += gap;
    note_text_words(at, "=");
    at->x += gap;
    group_set(at, &equation->sides[1]);
}

/* ---- what they say ------------------------------------------------------------------------- */

/* So many units as one note; false if that takes two. */
static bool note_of_units(int64_t units, int unit_log2, struct small_note *note)
{
    int dots = 0;
    if (units % 3 == 0) {
        units /= 3;
        dots = 1;
        unit_log2--; /* three units are a dotted double */
    }
    for (; units > 1 && units % 2 == 0; units /= 2)
        unit_log2--;
    *note = (struct small_note){(uint8_t)unit_log2, (uint8_t)dots};
    return units == 1 && unit_log2 >= 0;
}

static struct small_group group_of_pulse(const struct pulse_note *note)
{
    return (struct small_group){
        .notes = {{note->value_log2, note->dots}}, .count = 1, .tuplet = note->tuplet};
}

struct equation equation_of_pulse(const struct pulse *pulse)
{
    return (struct equation){{group_of_pulse(&pulse->before), group_of_pulse(&pulse->now)}};
}

bool equation_of_swing(struct fraction share, int half_log2, struct equation *equation)
{
    int64_t units = share.denominator, parts = 1;
    int unit_log2 = half_log2 - 1; /* the pair as one note */
    for (; parts * 2 <= units; parts *= 2)
        unit_log2++;
    struct small_note half = {(uint8_t)half_log2, 0};
    equation->sides[0] = (struct small_group){.notes = {half, half}, .count = 2};
    struct small_group *swung = &equation->sides[1];
    *swung = (struct small_group){.count = 2, .tuplet = units == parts ? 0 : (uint8_t)units};
    return units < 10 && unit_log2 <= 5 &&
           note_of_units(share.numerator, unit_log2, &swung->notes[0]) &&
           note_of_units(units - share.numerator, unit_log2, &swung->notes[1]);
}
