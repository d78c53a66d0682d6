#include "layout/layout_int.h"
#include "model/form.h"

/* What an exercise plays: its hands' one voice (VOICE_NONE: none yet), or several. */
struct voices_seen {
    voice_id hands;
    bool several, feet;
};

static void see_line(const struct score_line *line, struct voices_seen *seen)
{
    for (uint32_t i = 0; i < line->leaf_count && !seen->several; i++) {
        const struct note *note = line->leaves[i].note;
        for (int h = 0; note && h < note->hit_count; h++) {
            if (seen->hands == VOICE_NONE)
                seen->hands = note->hits[h].voice;
            seen->several |= note->hits[h].voice != seen->hands;
        }
    }
}

static bool line_plays(const struct score_line *line, bool rests)
{
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (line->leaves[i].note || rests)
            return true;
    return false;
}

static struct voices_seen see_exercise(const struct score_exercise *exercise)
{
    struct voices_seen seen = {.hands = VOICE_NONE};
    for (size_t b = 0; b < exercise->bar_count; b++) {
        const struct score_bar *bar = &exercise->bars[b];
        if (!seen.several)
            see_line(&bar->lines[LINE_HANDS], &seen);
        if (!seen.feet)
            seen.feet = line_plays(&bar->lines[LINE_FEET], bar->settings->show->feet_rests);
    }
    return seen;
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

/* What is set of an exercise: of a practice form its bars where they are wanted. */
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
    struct voices_seen seen = see_exercise(from);
    enum staff_lines lines = settings->page->staff_lines;
    *staff = (struct staff){.exercise = from, .index = exercise, .feet = seen.feet, .size = 1000};
    staff->one_line =
        lines == STAFF_LINES_1 || (lines == STAFF_LINES_AUTO && !seen.feet && !seen.several);
    staff->join_feet = settings->stems == STEMS_UP;
    staff->sloped = settings->beams == BEAMS_SLOPED;
    staff->dynamics = dynamics_written(from);
    staff->counts_tight = counts_tight(from);
    staff->bottom = staff->one_line ? 0 : 4000;
    staff->bar_top = staff->one_line ? -HOUSE_ONE_LINE_BAR : 0;
    staff->bar_bottom = staff->one_line ? HOUSE_ONE_LINE_BAR : 4000;
}

sp staff_y(const struct staff *staff, int line2)
{
    return staff->one_line ? 0 : (10 - line2) * 500;
}
