#include "layout/bar_signs.h"

#include "layout/bar_lines.h"
#include "layout/layout_state.h"
#include "layout/signs.h"
#include "layout/text.h"

#include <stdio.h>

static sp bar_middle(const struct set_bar *bar)
{
    return (bar->left + bar->line_left) / 2;
}

/* Over the sign. A two-bar sign has a figure of its own, and a number beside it would look like
 * part of it, so there it goes over the second bar. */
static void time_draw(struct layout *layout, const struct set_bar *bar)
{
    char text[16];
    snprintf(text, sizeof text, "(%u)", bar->bar->time);
    struct box ink = text_ink(layout, TEXT_DYNAMIC_WORD, text);
    sp half = box_width(ink) / 2, middle = bar_middle(bar);
    if (bar->bar->repeats == 2)
        middle = (middle + bar->line_left) / 2;
    sp y = skyline_top(&layout->skyline, middle - half, middle + half) - HOUSE_ABOVE_GAP;
    text_centred(layout, ROLE_BAR_REPEAT, TEXT_DYNAMIC_WORD, text, middle, y - ink.bottom);
}

/* In the middle of its bar; one of two bars over the bar line between them, with a figure 2. */
static void bar_repeat_draw(struct layout *layout, const struct set_bar *bar)
{
    const enum glyph figure = GLYPH_TUPLET_0 + 2;
    bool two = bar->bar->repeats == 2;
    enum glyph glyph = two ? GLYPH_REPEAT_2_BARS : GLYPH_REPEAT_1_BAR;
    sp middle = bar_middle(bar);
    if (two) {
        struct box ink = glyph_ink(layout, figure);
        sp half = bar_line_width(layout, BAR_LINE_PLAIN) / 2;
        bar_line_draw(layout, BAR_LINE_PLAIN, middle - half);
        pen_glyph(&layout->pen, ROLE_BAR_REPEAT, figure, middle - box_middle_x(ink),
                  layout->staff->bar_top - HOUSE_ABOVE_GAP - ink.bottom);
    }
    pen_glyph(&layout->pen, ROLE_BAR_REPEAT, glyph, middle - box_middle_x(glyph_ink(layout, glyph)),
              staff_middle(layout->staff));
    if (bar->bar->time)
        time_draw(layout, bar);
}

static enum glyph digit_glyph(char digit)
{
    return (enum glyph)(GLYPH_METER_0 + (digit - '0'));
}

/*
 *        4
 *   |█████████|   a bar about the middle line, its number above the staff
 */
static void rest_draw(struct layout *layout, const struct set_bar *bar)
{
    char text[16];
    struct pen *pen = &layout->pen;
    sp thin = layout->defaults->thin_bar, y = staff_middle(layout->staff), middle = bar_middle(bar);
    sp left = bar->left + HOUSE_REST_BAR_WHITE, right = bar->line_left - HOUSE_REST_BAR_WHITE;
    pen_horizontal(pen, ROLE_BAR_REST, left, right, y, HOUSE_REST_BAR);
    pen_upright(pen, ROLE_BAR_REST, left + thin / 2, y - 1000, y + 1000, thin);
    pen_upright(pen, ROLE_BAR_REST, right - thin / 2, y - 1000, y + 1000, thin);
    snprintf(text, sizeof text, "%u", bar->bar->rests);
    sp half = signs_advance(layout->metrics, digit_glyph, text) / 2;
    sp above = skyline_top(&layout->skyline, middle - half, middle + half) - HOUSE_ABOVE_GAP;
    signs_draw(pen, ROLE_BAR_REST, digit_glyph, text, middle - half,
               above - glyph_ink(layout, GLYPH_METER_0).bottom);
}

void bar_sign_draw(struct layout *layout, const struct set_bar *bar)
{
    if (bar->bar->repeats)
        bar_repeat_draw(layout, bar);
    else
        rest_draw(layout, bar);
}

sp bar_sign_width(const struct layout *layout, const struct score_bar *bar)
{
    const struct score_line *hands = &bar->lines[LINE_HANDS];
    if (bar->rests > 1)
        return HOUSE_REST_BAR_LEAST;
    enum glyph glyph = bar->repeats == 2 ? GLYPH_REPEAT_2_BARS
                       : bar->repeats    ? GLYPH_REPEAT_1_BAR
                                         : GLYPH_REST_WHOLE;
    if (!bar->repeats && !(hands->leaf_count && hands->leaves[0].whole_bar))
        return 0;
    return box_width(glyph_ink(layout, glyph)) + 2 * HOUSE_BAR_TRAIL;
}
