#include "layout/layout_int.h"

#include <stdio.h>

/* The tempo mark: swing, the beat as a note, and its beats a minute: ♩ = 60–96. */

struct tempo_mark {
    enum glyph note;
    int dots;
    char text[256], swing[64];
};

/* The meter's own beat as a note value; where its beats differ, its unit. */
static void meter_beat(const struct meter *meter, int *log2, int *dots)
{
    struct beat beats[METER_BEATS_MAX];
    size_t count = meter_beats(meter, beats);
    struct fraction beat = beats[0].length;
    for (size_t i = 1; i < count; i++)
        if (!fraction_equal(beats[i].length, beat))
            beat = fraction_make(1, meter->unit);
    *dots = beat.numerator == 3;
    int64_t value = beat.numerator == 3 ? beat.denominator / 2 : beat.denominator;
    for (*log2 = 0; value > 1; value /= 2)
        ++*log2;
}

static void bpm_text(const struct tempo *tempo, char *text, size_t room)
{
    size_t length = (size_t)snprintf(text, room, "= ");
    for (size_t i = 0; i < tempo->count && length + 12 < room; i++)
        length += (size_t)snprintf(text + length, room - length, "%s%u",
                                   i == 0         ? ""
                                   : tempo->range ? "\u2013"
                                                  : " \u00b7 ",
                                   tempo->bpm[i]);
}

/* Two to one, as players say it: a share of 2/3 for the first of a pair is 2:1. */
static void swing_text(struct fraction swing, char *text, size_t room)
{
    text[0] = 0;
    if (swing.denominator && swing.numerator * 2 != swing.denominator && swing.numerator)
        snprintf(text, room, "swing %d:%d", (int)swing.numerator,
                 (int)(swing.denominator - swing.numerator));
}

static bool tempo_make(const struct score_exercise *exercise, struct tempo_mark *mark)
{
    static const enum glyph notes[] = {GLYPH_NOTE_WHOLE, GLYPH_NOTE_HALF, GLYPH_NOTE_QUARTER,
                                       GLYPH_NOTE_8, GLYPH_NOTE_16};
    const struct settings *settings = &exercise->source->settings;
    const struct tempo *tempo = exercise->tempo;
    swing_text(settings->swing, mark->swing, sizeof mark->swing);
    mark->text[0] = 0;
    if (!tempo)
        return mark->swing[0];
    int log2 = tempo->unit_log2;
    mark->dots = tempo->unit_dots;
    if (tempo->unit_log2 == 0xFF)
        meter_beat(exercise->bar_count ? exercise->bars[0].meter : settings->meter, &log2,
                   &mark->dots);
    mark->note = notes[log2 > 4 ? 4 : log2];
    bpm_text(tempo, mark->text, sizeof mark->text);
    return true;
}

static sp scaled(sp length)
{
    return (sp)((int64_t)length * HOUSE_TEMPO_SCALE / 1000);
}

static sp note_width(const struct layout *layout, const struct tempo_mark *mark)
{
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    sp dot = scaled(HOUSE_DOT_GAP / 2 + box_width(glyphs[GLYPH_NOTE_DOT].ink));
    return scaled(box_width(glyphs[mark->note].ink)) + mark->dots * dot;
}

static sp mark_width(const struct layout *layout, const struct tempo_mark *mark)
{
    sp width = 0;
    if (mark->swing[0])
        width += text_advance(layout, TEXT_TEMPO, mark->swing);
    if (mark->swing[0] && mark->text[0])
        width += paper(layout, HOUSE_WORD_GAP_UM);
    if (mark->text[0])
        width += note_width(layout, mark) + paper(layout, HOUSE_TEMPO_GAP_UM) +
                 text_ink(layout, TEXT_TEMPO, mark->text).right;
    return width;
}

sp tempo_width(const struct layout *layout, const struct score_exercise *exercise)
{
    struct tempo_mark mark;
    return tempo_make(exercise, &mark) ? mark_width(layout, &mark) : 0;
}

static sp note_draw(struct layout *layout, const struct tempo_mark *mark, sp x, sp y)
{
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    struct pen *pen = &layout->pen;
    pen_glyph_scaled(pen, ROLE_TEMPO_NOTE, mark->note, x - scaled(glyphs[mark->note].ink.left), y,
                     HOUSE_TEMPO_SCALE);
    x += scaled(box_width(glyphs[mark->note].ink));
    for (int i = 0; i < mark->dots; i++) {
        x += scaled(HOUSE_DOT_GAP / 2);
        pen_glyph_scaled(pen, ROLE_TEMPO_NOTE, GLYPH_NOTE_DOT,
                         x - scaled(glyphs[GLYPH_NOTE_DOT].ink.left), y, HOUSE_TEMPO_SCALE);
        x += scaled(box_width(glyphs[GLYPH_NOTE_DOT].ink));
    }
    return x;
}

void tempo_draw(struct layout *layout, const struct score_exercise *exercise, sp x, sp y)
{
    struct tempo_mark mark;
    if (!tempo_make(exercise, &mark))
        return;
    x -= mark_width(layout, &mark);
    if (mark.swing[0]) {
        x += text_left(layout, ROLE_TEMPO, TEXT_TEMPO, mark.swing, x, y);
        x += paper(layout, HOUSE_WORD_GAP_UM);
    }
    if (!mark.text[0])
        return;
    x = note_draw(layout, &mark, x, y) + paper(layout, HOUSE_TEMPO_GAP_UM);
    text_left(layout, ROLE_TEMPO, TEXT_TEMPO, mark.text, x, y);
}
