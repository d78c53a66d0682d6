#include "layout/equation.h"
#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/system_parts.h"
#include "layout/text.h"
#include "model/tempo.h"

#include <stdio.h>

/* ♩ = 60–96; before it the swing, and inside an exercise how the old beat becomes the new. */
struct tempo_mark {
    struct small_note note;
    char text[256], swing[64]; /* "": none */
    struct equation pair;      /* after the word for the swing */
    struct equation pulse;     /* what follows from the tempo before */
    bool has_pair, has_pulse;
};

/* A beat as a note. */
static struct small_note beat_note(struct fraction beat)
{
    bool dotted = beat.numerator == 3;
    struct small_note note = {.dots = dotted};
    for (int64_t value = dotted ? beat.denominator / 2 : beat.denominator; value > 1; value /= 2)
        note.log2++;
    return note;
}

/* Of a long list only the first few and the last: the ladder has them all. */
static void bpm_text(const struct tempo *tempo, char *text, size_t room)
{
    enum { MOST = 8, FIRST = 3 };
    const char *between = tempo->range                                  ? "\u2013"
                          : !tempo->gradual                             ? " \u00b7 "
                          : tempo->hundredths[0] < tempo->hundredths[1] ? ", accel. to "
                                                                        : ", rit. to ";
    size_t length = (size_t)snprintf(text, room, "= ");
    for (size_t i = 0; i < tempo->count; i++) {
        bool left_out = tempo->count > MOST && i >= FIRST && i + 1 < tempo->count;
        if (left_out && i > FIRST)
            continue;
        length += (size_t)snprintf(text + length, room - length, "%s", i ? between : "");
        length +=
            left_out
                ? (size_t)snprintf(text + length, room - length, "\u2026")
                : (size_t)snprintf(text + length, room - length, "%s",
                                   tempo_text(tempo->hundredths[i], (char[TEMPO_TEXT_ROOM]){0}));
    }
}

static bool is_swung(struct fraction swing)
{
    return swing.denominator && swing.numerator * 2 != swing.denominator && swing.numerator;
}

/* The note value of half a swung pair: a slot of the subdivision. An eighth if slots are longer or
   triplets, or if there is no subdivision. */
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

/* A pair of notes and what it becomes; a share that no notes can say is a word: swing 7:4. */
static void set_swing(const struct page_words *words, struct fraction swing,
                      const struct settings *settings, const struct meter *meter,
                      struct tempo_mark *mark)
{
    if (!is_swung(swing))
        return;
    mark->has_pair = equation_of_swing(swing, swing_half(settings, meter), &mark->pair);
    if (mark->has_pair)
        snprintf(mark->swing, sizeof mark->swing, "%s", page_word(words, "swing"));
    else
        snprintf(mark->swing, sizeof mark->swing, "%s %d:%d", page_word(words, "swing"),
                 (int)swing.numerator, (int)(swing.denominator - swing.numerator));
}

static void set_tempo(const struct tempo *tempo, const struct meter *meter, struct tempo_mark *mark)
{
    mark->note = (struct small_note){tempo->unit_log2, tempo->unit_dots};
    if (tempo->unit_log2 == 0xFF)
        mark->note = beat_note(tempo_meter_beat(meter));
    bpm_text(tempo, mark->text, sizeof mark->text);
}

static const struct meter *first_meter(const struct score_exercise *exercise)
{
    return exercise->bar_count ? exercise->bars[0].meter : exercise->source->settings.meter;
}

static bool changes_tempo(const struct score_exercise *exercise)
{
    for (size_t i = 0; i < exercise->bar_count; i++)
        if (exercise->bars[i].settings->tempo != exercise->tempo || exercise->bars[i].pulse)
            return true;
    return false;
}

static bool same_tempo(const struct score_exercise *a, const struct score_exercise *b)
{
    struct tempo_mark left, right;
    if (!a->tempo || !b->tempo)
        return a->tempo == b->tempo;
    set_tempo(a->tempo, first_meter(a), &left);
    set_tempo(b->tempo, first_meter(b), &right);
    return left.note.log2 == right.note.log2 && left.note.dots == right.note.dots &&
           strcmp(left.text, right.text) == 0;
}

bool tempo_is_shared(const struct layout *layout)
{
    const struct score_exercise *first = NULL;
    for (size_t i = 0; i < layout->score->exercise_count; i++) {
        const struct score_exercise *exercise = &layout->score->exercises[i];
        if (!exercise_chosen(layout->exercises, exercise->number))
            continue;
        first = first ? first : exercise;
        if (!same_tempo(exercise, first) || changes_tempo(exercise))
            return false;
    }
    return true;
}

/* Whether tempos are printed only once and the last exercise printed with a tempo had the same one.
 */
static bool is_said(const struct layout *layout, const struct score_exercise *exercise)
{
    enum show_tempo show = exercise->source->settings.show->tempo;
    const struct score_exercise *before = exercise;
    if (show == SHOW_TEMPO_EACH || (show == SHOW_TEMPO_AUTO && !layout->tempo_shared))
        return false;
    while (before-- > layout->score->exercises)
        if (before->tempo && exercise_chosen(layout->exercises, before->number))
            return !changes_tempo(before) && same_tempo(exercise, before);
    return false;
}

static bool tempo_make(const struct layout *layout, const struct score_exercise *exercise,
                       struct tempo_mark *mark)
{
    const struct settings *settings = &exercise->source->settings;
    *mark = (struct tempo_mark){.text = ""};
    set_swing(layout->words, settings->swing, settings, first_meter(exercise), mark);
    if (exercise->tempo && !is_said(layout, exercise))
        set_tempo(exercise->tempo, first_meter(exercise), mark);
    return mark->text[0] || mark->swing[0];
}

/* Draws or measures it from its left end on. */
static void tempo_mark_set(struct note_text *at, const struct tempo_mark *mark)
{
    sp gap = paper(at->layout, HOUSE_TEMPO_GAP_UM), wide = paper(at->layout, HOUSE_WORD_GAP_UM);
    bool swing = mark->swing[0], tempo = mark->text[0];
    if (mark->has_pulse) {
        note_text_equation(at, &mark->pulse);
        at->x += swing || tempo ? wide : 0;
    }
    if (swing) {
        note_text_words(at, mark->swing);
        if (mark->has_pair) {
            at->x += gap;
            note_text_equation(at, &mark->pair);
        }
        at->x += tempo ? wide : 0;
    }
    if (tempo) {
        note_text_note(at, mark->note);
        at->x += gap;
        note_text_words(at, mark->text);
    }
}

/* Up to the end of its ink. */
static sp tempo_mark_width(const struct layout *layout, const struct tempo_mark *mark)
{
    struct note_text at = {.layout = layout};
    tempo_mark_set(&at, mark);
    if (!mark->text[0])
        return at.x;
    const struct label_metrics *text = text_metrics(layout, TEXT_TEMPO, mark->text);
    return at.x - text->advance + text->ink.right;
}

static void tempo_mark_draw(struct layout *layout, const struct tempo_mark *mark, sp x, sp y)
{
    struct note_text at = {.layout = layout, .pen = &layout->pen, .x = x, .y = y};
    tempo_mark_set(&at, mark);
}

sp tempo_width(const struct layout *layout, const struct score_exercise *exercise)
{
    struct tempo_mark mark;
    return tempo_make(layout, exercise, &mark) ? tempo_mark_width(layout, &mark) : 0;
}

void tempo_draw(struct layout *layout, const struct score_exercise *exercise, sp x, sp y)
{
    struct tempo_mark mark;
    if (tempo_make(layout, exercise, &mark))
        tempo_mark_draw(layout, &mark, x - tempo_mark_width(layout, &mark), y);
}

/* ---- changes inside an exercise ------------------------------------------------------------- */

/* What a bar changes: the tempo or swing before it, or in the first bar the exercise's own. */
static bool change_make(const struct page_words *words, const struct score_exercise *exercise,
                        uint32_t index, struct tempo_mark *mark)
{
    const struct settings *whole = &exercise->source->settings;
    const struct settings *here = exercise->bars[index].settings;
    const struct settings *before = index ? exercise->bars[index - 1].settings : whole;
    bool own = index == 0 && !place_same(here->swing_at, whole->swing_at);
    *mark = (struct tempo_mark){.text = ""};
    if (own || is_swung(here->swing) != is_swung(before->swing) ||
        (is_swung(here->swing) && !fraction_equal(here->swing, before->swing))) {
        snprintf(mark->swing, sizeof mark->swing, "%s", page_word(words, "straight"));
        if (is_swung(here->swing))
            set_swing(words, here->swing, here, exercise->bars[index].meter, mark);
    }
    mark->has_pulse = exercise->bars[index].pulse != NULL;
    bool returns =
        mark->has_pulse && here->tempo == whole->tempo; /* the tempo would contradict the pulse */
    if (here->tempo != before->tempo && here->tempo && !returns)
        set_tempo(here->tempo, exercise->bars[index].meter, mark);
    if (mark->has_pulse)
        mark->pulse = equation_of_pulse(exercise->bars[index].pulse);
    return mark->text[0] || mark->swing[0] || mark->has_pulse;
}

void changes_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++) {
        struct tempo_mark mark;
        if (!change_make(layout->words, layout->staff->exercise, bar->index, &mark))
            continue;
        layout->pen.owner = bar_owner(layout, bar->index);
        sp right = bar->left + tempo_mark_width(layout, &mark);
        sp words = text_ink(layout, TEXT_TEMPO, mark.swing[0] ? mark.swing : mark.text).bottom;
        sp note = note_text_scaled(layout, glyph_ink(layout, GLYPH_NOTE_QUARTER).bottom);
        sp y =
            skyline_top(&layout->skyline, bar->left, right) - HOUSE_PLAYS_GAP - sp_max(words, note);
        tempo_mark_draw(layout, &mark, bar->left, y);
    }
}
