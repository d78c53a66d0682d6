#include "layout/layout_int.h"

#include <assert.h>
#include <stdio.h>

/* The meter: groups over the unit, both centred: 4 over 4, 2+2+3 over 8. */

static size_t groups_text(const struct meter *meter, char *text, size_t room)
{
    size_t length = 0;
    text[0] = '\0';
    for (int i = 0; i < meter->group_count && length + 8 < room; i++)
        length +=
            (size_t)snprintf(text + length, room - length, i ? "+%u" : "%u", meter->groups[i]);
    return length;
}

static enum glyph meter_glyph(char sign)
{
    return sign == '+' ? GLYPH_METER_PLUS : (enum glyph)(GLYPH_METER_0 + (sign - '0'));
}

/* From the ink of its first sign to that of its last: what stands at a line's end ends there.
   `text` has a sign at least. */
static sp row_width(const struct layout *layout, const char *text)
{
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    assert(*text);
    sp width = -glyphs[meter_glyph(*text)].ink.left;
    for (; text[1]; text++)
        width += glyphs[meter_glyph(*text)].advance;
    return width + glyphs[meter_glyph(*text)].ink.right;
}

static void row_draw(struct layout *layout, const char *text, sp x, sp y)
{
    x -= layout->metrics->glyphs[meter_glyph(*text)].ink.left;
    for (; *text; text++) {
        pen_glyph(&layout->pen, ROLE_METER, meter_glyph(*text), x, y);
        x += layout->metrics->glyphs[meter_glyph(*text)].advance;
    }
}

static void meter_texts(const struct meter *meter, char above[128], char below[8])
{
    groups_text(meter, above, 128);
    snprintf(below, 8, "%u", meter->unit);
}

sp meter_width(const struct layout *layout, const struct meter *meter)
{
    char above[128], below[8];
    meter_texts(meter, above, below);
    return sp_max(row_width(layout, above), row_width(layout, below));
}

void meter_draw(struct layout *layout, const struct staff *staff, const struct meter *meter, sp x)
{
    char above[128], below[8];
    meter_texts(meter, above, below);
    sp width = meter_width(layout, meter), middle = (staff->top + staff->bottom) / 2;
    row_draw(layout, above, x + (width - row_width(layout, above)) / 2, middle - 1000);
    row_draw(layout, below, x + (width - row_width(layout, below)) / 2, middle + 1000);
}
