#include "layout/staff.h"

#include "layout/house.h"
#include "model/form.h"

/* Whether the hands play more than one voice in the exercise. */
static bool hands_play_several(const struct score_exercise *exercise)
{
    voice_id first = VOICE_NONE;
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_line *line = &exercise->bars[b].lines[LINE_HANDS];
        for (uint32_t i = 0; i < line->leaf_count; i++) {
            const struct note *note = line->leaves[i].note;
            for (int h = 0; note && h < note->hit_count; h++) {
                if (first == VOICE_NONE)
                    first = note->hits[h].voice;
                if (note->hits[h].voice != first)
                    return true;
            }
        }
    }
    return false;
}

/* Whether the feet have a note, or a rest that is shown. */
static bool feet_play(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        const struct score_line *line = &bar->lines[LINE_FEET];
        for (uint32_t i = 0; i < line->leaf_count; i++)
            if (line->leaves[i].note || bar->settings->show->feet_rests)
                return true;
    }
    return false;
}

/* Syllables quicker than sixteenths need the condensed cut, or they would push the notes apart. */
static bool counts_tight(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        for (int i = 0; i < bar->beat_count; i++)
            if (bar->beats[i].has_division && bar->beats[i].division.slot.numerator * 16 <
                                                  bar->beats[i].division.slot.denominator)
                return true;
    }
    return false;
}

/* A practice form is written out as bars where the lesson asks for it, or where it is short. */
static const struct score_exercise *shown_exercise(const struct score *score,
                                                   const struct score_exercise *exercise,
                                                   struct arena *arena)
{
    enum show_form form = exercise->source->settings.show->form;
    if (!exercise->sequence || form == SHOW_FORM_NAMES)
        return exercise;
    const struct score_exercise *written = form_write_out(score, exercise, arena);
    if (!written || (form == SHOW_FORM_AUTO && written->bar_count > HOUSE_FORM_BARS))
        return exercise;
    return written;
}

static bool dynamics_written(const struct score_exercise *exercise)
{
    for (size_t b = 0; b < exercise->bar_count; b++)
        if (exercise->bars[b].dynamic_count)
            return true;
    return false;
}

void staff_of_exercise(const struct score *score, uint32_t exercise, struct arena *arena,
                       struct staff *staff)
{
    const struct score_exercise *from = shown_exercise(score, &score->exercises[exercise], arena);
    const struct settings *settings = &from->source->settings;
    enum staff_lines lines = settings->page->staff_lines;
    bool feet = feet_play(from);
    bool one =
        lines == STAFF_LINES_1 || (lines == STAFF_LINES_AUTO && !feet && !hands_play_several(from));
    *staff = (struct staff){
        .exercise = from,
        .index = exercise,
        .one_line = one,
        .feet = feet,
        .join_feet = settings->stems == STEMS_UP,
        .sloped = settings->beams == BEAMS_SLOPED,
        .dynamics = dynamics_written(from),
        .counts_tight = counts_tight(from),
        .size = STAFF_WHOLE,
        .bottom = one ? 0 : 4000,
        .bar_top = one ? -HOUSE_ONE_LINE_BAR : 0,
        .bar_bottom = one ? HOUSE_ONE_LINE_BAR : 4000,
    };
}
