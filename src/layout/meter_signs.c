#include "layout/bar_lines.h"
#include "layout/layout_state.h"
#include "layout/signs.h"

#include <stdio.h>

struct meter_texts {
    char above[128], below[8];
};

static struct meter_texts texts_of(const struct meter *meter)
{
    struct meter_texts texts = {0};
    size_t length = 0, room = sizeof texts.above;
    for (int i = 0; i < meter->group_count && length + 8 < room; i++)
        length += (size_t)snprintf(texts.above + length, room - length, i ? "+%u" : "%u",
                                   meter->groups[i]);
    snprintf(texts.below, sizeof texts.below, "%u", meter->unit);
    return texts;
}

static enum glyph meter_glyph(char sign)
{
    return sign == '+' ? GLYPH_METER_PLUS : (enum glyph)(GLYPH_METER_0 + (sign - '0'));
}

/* From the ink of its first sign to that of its last, so that ink ends where the line does.
   `text` has at least one sign. */
static sp row_width(const struct layout *layout, const char *text)
{
    const struct glyph_metrics *first = &layout->metrics->glyphs[meter_glyph(text[0])];
    const struct glyph_metrics *last =
        &layout->metrics->glyphs[meter_glyph(text[strlen(text) - 1])];
    return sp_scaled(signs_advance(layout->metrics, meter_glyph, text) - first->ink.left -
                         last->advance + last->ink.right,
                     HOUSE_METER_SCALE);
}

static void row_draw(struct layout *layout, const char *text, sp x, sp y)
{
    sp left = sp_scaled(glyph_ink(layout, meter_glyph(*text)).left, HOUSE_METER_SCALE);
    signs_draw_scaled(&layout->pen, ROLE_METER, meter_glyph, text, x - left, y, HOUSE_METER_SCALE);
}

sp meter_width(const struct layout *layout, const struct meter *meter)
{
    struct meter_texts texts = texts_of(meter);
    return sp_max(row_width(layout, texts.above), row_width(layout, texts.below));
}

/* The rows end with the outer edges of the staff lines, so that there is white between them on both
   sides of the middle line. */
void meter_draw(struct layout *layout, const struct meter *meter, sp x)
{
    struct meter_texts texts = texts_of(meter);
    sp width = meter_width(layout, meter), middle = staff_middle(layout->staff);
    sp off = 2000 + layout->defaults->staff_line / 2 - HOUSE_METER_SCALE;
    row_draw(layout, texts.above, x + (width - row_width(layout, texts.above)) / 2, middle - off);
    row_draw(layout, texts.below, x + (width - row_width(layout, texts.below)) / 2, middle + off);
}
