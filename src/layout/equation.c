#include "layout/layout_int.h"

/*
 * Notes in a line of text: what a swing makes of a pair, and which note lasts as long as which.
 *
 *      ____      ,-3-.
 *     |  |       |  |\
 *     o  o   =   o  o          4  =  4.
 */

struct equation_pen {
    const struct layout *layout;
    struct pen *pen; /* NULL: only measured */
    sp x, y, top;    /* top: of the group so far */
};

static sp scaled(const struct layout *layout, sp length)
{
    return (sp)((int64_t)length * paper_scale(layout, HOUSE_TEMPO_SCALE) / 1000);
}

static const struct box *ink_of(const struct equation_pen *at, enum glyph glyph)
{
    return &at->layout->metrics->glyphs[glyph].ink;
}

enum glyph small_note_glyph(int log2)
{
    static const enum glyph notes[] = {GLYPH_NOTE_WHOLE, GLYPH_NOTE_HALF, GLYPH_NOTE_QUARTER,
                                       GLYPH_NOTE_8,     GLYPH_NOTE_16,   GLYPH_NOTE_32};
    return notes[log2 > 5 ? 5 : log2];
}

static void glyph_set(struct equation_pen *at, enum glyph glyph)
{
    const struct box *ink = ink_of(at, glyph);
    if (at->pen)
        pen_glyph_scaled(at->pen, ROLE_TEMPO_NOTE, glyph, at->x - scaled(at->layout, ink->left),
                         at->y, paper_scale(at->layout, HOUSE_TEMPO_SCALE));
    at->x += scaled(at->layout, box_width(*ink));
    at->top = sp_min(at->top, at->y + scaled(at->layout, ink->top));
}

/* The note's right end is the right side of its stem. */
static void note_set(struct equation_pen *at, const struct small_note *note, bool beamed,
                     sp *stem_right)
{
    glyph_set(at, beamed ? GLYPH_NOTE_QUARTER : small_note_glyph(note->log2));
    *stem_right = at->x;
    for (int i = 0; i < note->dots; i++) {
        at->x += scaled(at->layout, HOUSE_DOT_GAP);
        glyph_set(at, GLYPH_NOTE_DOT);
    }
}

static void beams_of(const struct equation_pen *at, const struct small_group *group,
                     const sp *stem_right)
{
    const struct engraving_defaults *defaults = at->layout->defaults;
    sp thick = scaled(at->layout, defaults->beam), stem = scaled(at->layout, defaults->stem);
    for (int level = 0; level < 3; level++) {
        bool first = group->notes[0].log2 > 2 + level, last = group->notes[1].log2 > 2 + level;
        sp left = first ? stem_right[0] - stem : stem_right[1] - scaled(at->layout, HOUSE_STUB);
        sp right = last ? stem_right[1] : stem_right[0] - stem + scaled(at->layout, HOUSE_STUB);
        sp y =
            at->top + thick / 2 + level * scaled(at->layout, defaults->beam + defaults->beam_gap);
        if (first || last)
            pen_beam(at->pen, ROLE_TEMPO_NOTE, (struct point){left, y}, (struct point){right, y},
                     thick);
    }
}

/* The tuplet's number over its group, in a bracket where no beam holds it together. */
static void number_of(const struct equation_pen *at, const struct small_group *group, sp left,
                      bool beamed)
{
    enum glyph digit = (enum glyph)(GLYPH_TUPLET_0 + group->tuplet % 10);
    const struct box *ink = ink_of(at, digit);
    sp middle = (left + at->x) / 2, half = scaled(at->layout, box_width(*ink)) / 2;
    sp y = at->top - scaled(at->layout, HOUSE_TUPLET_GAP + ink->bottom);
    pen_glyph_scaled(at->pen, ROLE_TEMPO_NOTE, digit, middle - half - scaled(at->layout, ink->left),
                     y, paper_scale(at->layout, HOUSE_TEMPO_SCALE));
    if (beamed || group->count == 1)
        return;
    sp line = y + scaled(at->layout, ink->top + ink->bottom) / 2,
       width = at->layout->defaults->tuplet_bracket;
    for (int side = -1; side <= 1; side += 2) {
        sp end = side < 0 ? left + width / 2 : at->x - width / 2;
        pen_line(at->pen, ROLE_TEMPO_NOTE, (struct point){end, line},
                 (struct point){middle + side * (half + scaled(at->layout, HOUSE_TUPLET_CLEAR) / 2),
                                line},
                 width);
        pen_line(at->pen, ROLE_TEMPO_NOTE, (struct point){end, line - width / 2},
                 (struct point){end, line + scaled(at->layout, HOUSE_TUPLET_HOOK)}, width);
    }
}

static void group_set(struct equation_pen *at, const struct small_group *group)
{
    bool beamed = group->count == 2 && group->notes[0].log2 > 2 && group->notes[1].log2 > 2;
    sp left = at->x, stem_right[2] = {0};
    at->top = at->y;
    for (int i = 0; i < group->count; i++) {
        at->x += i ? scaled(at->layout, HOUSE_SMALL_NOTE_GAP) : 0;
        note_set(at, &group->notes[i], beamed, &stem_right[i]);
    }
    if (beamed && at->pen)
        beams_of(at, group, stem_right);
    if (group->tuplet && at->pen)
        number_of(at, group, left, beamed);
}

static sp equation_set(struct equation_pen *at, const struct equation *equation,
                       struct layout *layout)
{
    sp gap = paper(at->layout, HOUSE_TEMPO_GAP_UM);
    group_set(at, &equation->sides[0]);
    at->x += gap;
    if (layout)
        text_left(layout, ROLE_TEMPO, TEXT_TEMPO, "=", at->x, at->y);
    at->x += text_advance(at->layout, TEXT_TEMPO, "=") + gap;
    group_set(at, &equation->sides[1]);
    return at->x;
}

sp equation_width(const struct layout *layout, const struct equation *equation)
{
    struct equation_pen at = {.layout = layout};
    return equation_set(&at, equation, NULL);
}

sp equation_draw(struct layout *layout, const struct equation *equation, sp x, sp y)
{
    struct equation_pen at = {.layout = layout, .pen = &layout->pen, .x = x, .y = y};
    return equation_set(&at, equation, layout);
}

/* ---- what is said --------------------------------------------------------------------------- */

/* So many units as one note; false where that takes two. */
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
