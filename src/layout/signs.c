#include "layout/signs.h"

#include "layout/geometry.h"

enum glyph flag_glyph(int flags, bool up)
{
    static const enum glyph glyphs[][2] = {{GLYPH_FLAG_8_DOWN, GLYPH_FLAG_8_UP},
                                           {GLYPH_FLAG_16_DOWN, GLYPH_FLAG_16_UP},
                                           {GLYPH_FLAG_32_DOWN, GLYPH_FLAG_32_UP},
                                           {GLYPH_FLAG_64_DOWN, GLYPH_FLAG_64_UP}};
    return glyphs[flags - 1][up];
}

enum glyph rest_glyph(int value_log2)
{
    static const enum glyph rests[] = {GLYPH_REST_WHOLE, GLYPH_REST_HALF, GLYPH_REST_QUARTER,
                                       GLYPH_REST_8,     GLYPH_REST_16,   GLYPH_REST_32,
                                       GLYPH_REST_64};
    return rests[value_log2];
}

enum glyph tuplet_digit(char digit)
{
    return digit == ':' ? GLYPH_TUPLET_COLON : (enum glyph)(GLYPH_TUPLET_0 + (digit - '0'));
}

enum glyph small_note_glyph(int value_log2)
{
    static const enum glyph notes[] = {GLYPH_NOTE_WHOLE, GLYPH_NOTE_HALF, GLYPH_NOTE_QUARTER,
                                       GLYPH_NOTE_8,     GLYPH_NOTE_16,   GLYPH_NOTE_32};
    return notes[value_log2 > 5 ? 5 : value_log2];
}

sp signs_advance(const struct metrics *metrics, letter_sign *sign, const char *text)
{
    sp width = 0;
    for (; *text; text++)
        width += metrics->glyphs[sign(*text)].advance;
    return width;
}

void signs_draw_scaled(struct pen *pen, enum mark_role role, letter_sign *sign, const char *text,
                       sp x, sp y, int scale)
{
    for (; *text; text++) {
        enum glyph glyph = sign(*text);
        pen_glyph_scaled(pen, role, glyph, x, y, scale);
        x += sp_scaled(pen->metrics->glyphs[glyph].advance, scale);
    }
}

void signs_draw(struct pen *pen, enum mark_role role, letter_sign *sign, const char *text, sp x,
                sp y)
{
    signs_draw_scaled(pen, role, sign, text, x, y, 1000);
}
