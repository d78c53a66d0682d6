#include "layout/layout_int.h"
#include "model/tempo.h"

#include <stdio.h>

/* The tempo mark: swing, the beat as a note, and its beats a minute: ♩ = 60–96. */

struct tempo_mark {
    enum glyph note;
    int dots;
    char text[256], swing[64];
    struct equation pair;  /* behind the word of the swing */
    struct equation pulse; /* what follows from the tempo before */
    bool has_pair, has_pulse;
};

/* A beat as a note value. */
static void beat_value(struct fraction beat, int *log2, int *dots)
{
    *dots = beat.numerator == 3;
    int64_t value = beat.numerator == 3 ? beat.denominator / 2 : beat.denominator;
    for (*log2 = 0; value > 1; value /= 2)
        ++*log2;
}

/* Of a long list the first and the last: a ladder has them all. */
static void bpm_text(const struct tempo *tempo, char *text, size_t room)
{
    enum { MOST = 8, FIRST = 3 };
    const char *between = tempo->range ? "\u2013" : " \u00b7 ";
    size_t length = (size_t)snprintf(text, room, "= ");
    for (size_t i = 0; i < tempo->count; i++) {
        bool left_out = tempo->count > MOST && i >= FIRST && i + 1 < tempo->count;
        if (left_out && i > FIRST)
            continue;
        length += (size_t)snprintf(text + length, room - length, "%s", i ? between : "");
        length += left_out ? (size_t)snprintf(text + length, room - length, "\u2026")
                           : (size_t)snprintf(text + length, room - length, "%u", tempo->bpm[i]);
    }
}

static bool is_swung(struct fraction swing)
{
    return swing.denominator && swing.numerator * 2 != swing.denominator && swing.numerator;
}

/* Half of what swings, as a note value: the slots of the subdivision that is set, at the widest
   eighths, and eighths where a triplet or nothing is set. */
static int swing_half(const struct settings *settings, const struct meter *meter)
{
    struct beat beats[METER_BEATS_MAX];
    struct division division;
    if (!settings->subdivisions || !settings->subdivisions->count || !meter_beats(meter, beats) ||
        !subdivision_divide(settings->subdivisions->items[0], &beats[0], &division) ||
        division.tuplet_actual || division.slot.numerator != 1 || division.slot.denominator <= 8)
        return 3;
    return division.slot.denominator == 16 ? 4 : 5;
}

/* A pair and what it becomes, as notes; a share that no notes say is a word: swing 7:4. */
static void set_swing(struct fraction swing, const struct settings *settings,
                      const struct meter *meter, struct tempo_mark *mark)
{
    if (!is_swung(swing))
        return;
    mark->has_pair = equation_of_swing(swing, swing_half(settings, meter), &mark->pair);
    if (mark->has_pair)
        snprintf(mark->swing, sizeof mark->swing, "swing");
    else
        snprintf(mark->swing, sizeof mark->swing, "swing %d:%d", (int)swing.numerator,
                 (int)(swing.denominator - swing.numerator));
}

static void set_tempo(const struct tempo *tempo, const struct meter *meter, struct tempo_mark *mark)
{
    int log2 = tempo->unit_log2;
    mark->dots = tempo->unit_dots;
    if (tempo->unit_log2 == 0xFF)
        beat_value(tempo_meter_beat(meter), &log2, &mark->dots);
    mark->note = small_note_glyph(log2);
    bpm_text(tempo, mark->text, sizeof mark->text);
}

static const struct meter *first_meter(const struct score_exercise *exercise)
{
    return exercise->bar_count ? exercise->bars[0].meter : exercise->source->settings.meter;
}

static bool tempo_make(const struct score_exercise *exercise, struct tempo_mark *mark)
{
    const struct settings *settings = &exercise->source->settings;
    *mark = (struct tempo_mark){.text = ""};
    set_swing(settings->swing, settings, first_meter(exercise), mark);
    if (exercise->tempo)
        set_tempo(exercise->tempo, first_meter(exercise), mark);
    return mark->text[0] || mark->swing[0];
}

static sp scaled(const struct layout *layout, sp length)
{
    return (sp)((int64_t)length * paper_scale(layout, HOUSE_TEMPO_SCALE) / 1000);
}

static sp note_width(const struct layout *layout, const struct tempo_mark *mark)
{
    const struct glyph_metrics *glyphs = layout->metrics->glyphs;
    sp dot = scaled(layout, HOUSE_DOT_GAP + box_width(glyphs[GLYPH_NOTE_DOT].ink));
    return scaled(layout, box_width(glyphs[mark->note].ink)) + mark->dots * dot;
}

static sp mark_width(const struct layout *layout, const struct tempo_mark *mark)
{
    sp width = 0;
    if (mark->has_pulse)
        width += equation_width(layout, &mark->pulse);
    if (mark->has_pulse && (mark->swing[0] || mark->text[0]))
        width += paper(layout, HOUSE_WORD_GAP_UM);
    if (mark->swing[0])
        width += text_advance(layout, TEXT_TEMPO, mark->swing);
    if (mark->has_pair)
        width += paper(layout, HOUSE_TEMPO_GAP_UM) + equation_width(layout, &mark->pair);
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
    pen_glyph_scaled(pen, ROLE_TEMPO_NOTE, mark->note,
                     x - scaled(layout, glyphs[mark->note].ink.left), y,
                     paper_scale(layout, HOUSE_TEMPO_SCALE));
    x += scaled(layout, box_width(glyphs[mark->note].ink));
    for (int i = 0; i < mark->dots; i++) {
        x += scaled(layout, HOUSE_DOT_GAP);
        pen_glyph_scaled(pen, ROLE_TEMPO_NOTE, GLYPH_NOTE_DOT,
                         x - scaled(layout, glyphs[GLYPH_NOTE_DOT].ink.left), y,
                         paper_scale(layout, HOUSE_TEMPO_SCALE));
        x += scaled(layout, box_width(glyphs[GLYPH_NOTE_DOT].ink));
    }
    return x;
}

/* From its left end on the baseline. */
static void mark_draw(struct layout *layout, const struct tempo_mark *mark, sp x, sp y)
{
    if (mark->has_pulse)
        x = equation_draw(layout, &mark->pulse, x, y) + paper(layout, HOUSE_WORD_GAP_UM);
    if (mark->swing[0]) {
        x += text_left(layout, ROLE_TEMPO, TEXT_TEMPO, mark->swing, x, y);
        if (mark->has_pair)
            x = equation_draw(layout, &mark->pair, x + paper(layout, HOUSE_TEMPO_GAP_UM), y);
        x += paper(layout, HOUSE_WORD_GAP_UM);
    }
    if (!mark->text[0])
        return;
    x = note_draw(layout, mark, x, y) + paper(layout, HOUSE_TEMPO_GAP_UM);
    text_left(layout, ROLE_TEMPO, TEXT_TEMPO, mark->text, x, y);
}

void tempo_draw(struct layout *layout, const struct score_exercise *exercise, sp x, sp y)
{
    struct tempo_mark mark;
    if (tempo_make(exercise, &mark))
        mark_draw(layout, &mark, x - mark_width(layout, &mark), y);
}

/* ---- changes inside an exercise ------------------------------------------------------------- */

/* What a bar says anew: another tempo or swing than before it, or its own in the first bar. */
static bool change_make(const struct score_exercise *exercise, uint32_t index,
                        struct tempo_mark *mark)
{
    const struct settings *whole = &exercise->source->settings;
    const struct settings *here = exercise->bars[index].settings;
    const struct settings *before = index ? exercise->bars[index - 1].settings : whole;
    bool own = index == 0 && here->swing_at.line != whole->swing_at.line;
    *mark = (struct tempo_mark){.text = ""};
    if (own || is_swung(here->swing) != is_swung(before->swing) ||
        (is_swung(here->swing) && !fraction_equal(here->swing, before->swing))) {
        snprintf(mark->swing, sizeof mark->swing, "straight");
        if (is_swung(here->swing))
            set_swing(here->swing, here, exercise->bars[index].meter, mark);
    }
    mark->has_pulse = exercise->bars[index].pulse != NULL;
    bool returns = mark->has_pulse && here->tempo == whole->tempo; /* it would contradict */
    if (here->tempo != before->tempo && here->tempo && !returns)
        set_tempo(here->tempo, exercise->bars[index].meter, mark);
    if (mark->has_pulse)
        mark->pulse = equation_of_pulse(exercise->bars[index].pulse);
    return mark->text[0] || mark->swing[0] || mark->has_pulse;
}

void changes_draw(struct layout *layout, const struct staff *staff)
{
    for (size_t i = 0; i < layout->work.bar_count; i++) {
        const struct set_bar *bar = &layout->work.bars[i];
        struct tempo_mark mark;
        if (!change_make(staff->exercise, bar->index, &mark))
            continue;
        layout->pen.owner = mark_owner(staff->index, 0, bar->index, OWNER_NONE);
        sp width = mark_width(layout, &mark);
        sp lowest = text_ink(layout, TEXT_TEMPO, mark.swing[0] ? mark.swing : mark.text).bottom;
        lowest =
            sp_max(lowest, scaled(layout, layout->metrics->glyphs[GLYPH_NOTE_QUARTER].ink.bottom));
        sp y =
            skyline_top(&layout->skyline, bar->left, bar->left + width) - HOUSE_PLAYS_GAP - lowest;
        mark_draw(layout, &mark, bar->left, y);
    }
}
