#include "layout/staff.h"

#include "layout/house.h"
#include "model/form.h"
#include "model/shown_bars.h"

/* What an exercise plays. */
struct seen {
    voice_id hands; /* their first voice; VOICE_NONE: none yet */
    bool several;   /* ... and they play others as well */
    bool feet;      /* feet have a note, or a rest that is shown */
    int feet_top;   /* the highest place of their heads */
    bool feet_letters;
    bool uncounted; /* some stroke of the feet has no syllable */
    bool dynamics;
};

static void see_hands(const struct score_line *hands, struct seen *seen)
{
    for (uint32_t i = 0; i < hands->leaf_count && !seen->several; i++) {
        const struct note *note = hands->leaves[i].note;
        for (int h = 0; note && h < note->hit_count; h++) {
            if (seen->hands == VOICE_NONE)
                seen->hands = note->hits[h].voice;
            seen->several |= note->hits[h].voice != seen->hands;
        }
    }
}

static void see_feet(const struct score_bar *bar, const struct voice *voices, struct seen *seen)
{
    const struct score_line *feet = &bar->lines[LINE_FEET];
    for (uint32_t i = 0; i < feet->leaf_count; i++) {
        const struct note *note = feet->leaves[i].note;
        seen->feet |= note || bar->settings->show->feet_rests;
        seen->feet_letters |=
            note && note->letter && !is_foot_letter(note->letter) && !bar->hands_apart;
        for (int h = 0; note && h < note->hit_count; h++)
            if (voices[note->hits[h].voice].line2 > seen->feet_top)
                seen->feet_top = voices[note->hits[h].voice].line2;
    }
}

static void see_bar(const struct score_bar *bar, const struct voice *voices, struct seen *seen)
{
    see_hands(&bar->lines[LINE_HANDS], seen);
    see_feet(bar, voices, seen);
    seen->dynamics |= bar->dynamic_count > 0;
    seen->uncounted |= !bar->hands_apart && !bar_counts_feet(bar);
}

/* Signs stand for bars. A practice form is written out as bars if the lesson asks for it, or if it
   is short. */
static const struct score_exercise *shown_exercise(const struct score *score,
                                                   const struct score_exercise *exercise,
                                                   enum shown_repeats repeats, struct arena *arena)
{
    const struct settings *settings = &exercise->source->settings;
    const struct score_exercise *shown = exercise->sequence
                                             ? form_write_out(score, exercise, repeats, arena)
                                             : shown_bars(exercise, repeats, arena);
    if (shown && settings->stems == STEMS_UP)
        shown = exercise_as_one_voice(shown, arena);
    return shown ? shown : exercise;
}

static bool form_has_bars(const struct score_exercise *exercise,
                          const struct score_exercise *written)
{
    enum show_form form = exercise->source->settings.show->form;
    return form == SHOW_FORM_BARS ||
           (form == SHOW_FORM_AUTO && written->bar_count <= HOUSE_FORM_BARS);
}

static bool repeats_bars(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        if (exercise->bars[b].repeats)
            return true;
    return false;
}

static bool lines_asked(const struct staff *staff)
{
    return staff->exercise->source->settings.page->staff_lines != STAFF_LINES_AUTO;
}

static void lines_set(struct staff *staff, bool one)
{
    staff->one_line = one;
    staff->bottom = one ? 0 : 4000;
    staff->bar_top = one ? -HOUSE_ONE_LINE_BAR : 0;
    staff->bar_bottom = one ? HOUSE_ONE_LINE_BAR : 4000;
}

void staff_of_exercise(const struct score *score, uint32_t exercise, struct arena *arena,
                       struct staff *staff)
{
    const struct score_exercise *written = &score->exercises[exercise];
    const struct score_exercise *from = shown_exercise(score, written, SHOWN_AS_SIGNS, arena);
    const struct settings *settings = &from->source->settings;
    if (written->sequence && !form_has_bars(written, from))
        from = written;
    enum staff_lines lines = settings->page->staff_lines;
    struct seen seen = {.hands = VOICE_NONE, .feet_top = -HOUSE_LOWEST_PLACE};
    for (size_t b = 0; b < from->bar_count; b++)
        see_bar(&from->bars[b], score->lesson->kit.voices, &seen);
    bool one = lines == STAFF_LINES_1 || (lines != STAFF_LINES_5 && !seen.feet && !seen.several);
    *staff = (struct staff){
        .exercise = from,
        .in_signs = from,
        .in_notes =
            repeats_bars(from) ? shown_exercise(score, written, SHOWN_IN_NOTES, arena) : NULL,
        .index = exercise,
        .feet = seen.feet,
        .feet_top = seen.feet_top,
        .join_feet = settings->stems == STEMS_UP,
        .sloped = settings->beams == BEAMS_SLOPED,
        .dynamics = seen.dynamics,
        .feet_letters = seen.feet_letters,
        .even_counts = seen.uncounted,
        .size = STAFF_WHOLE,
    };
    lines_set(staff, one);
}

void staves_agree(struct staff *staves, size_t count)
{
    bool five = false;
    for (size_t i = 0; i < count; i++)
        five |= staves[i].exercise->bar_count && !staves[i].one_line && !lines_asked(&staves[i]);
    for (size_t i = 0; five && i < count; i++)
        if (!lines_asked(&staves[i]))
            lines_set(&staves[i], false);
}
