#include "layout/layout_int.h"

#include <stdio.h>

/* The practice ladder: tempi as tick boxes, and the caution that goes with every speed goal. */

const char ladder_caution[] =
    "Start slow and even. Stop at pain; if it lasts, ask a teacher or clinician. Rest often; "
    "protect your ears.";

enum { RUNGS_MOST = 64 };

static const struct settings *settings_of(const struct layout *layout, uint32_t exercise)
{
    return exercise == OWNER_NONE ? &layout->score->lesson->settings
                                  : &layout->score->exercises[exercise].source->settings;
}

static bool is_goal(const struct tempo *tempo)
{
    return tempo && tempo->count > 1;
}

/* The lesson's ladder stands at its end; an exercise that wrote its own tempo has its own, once
   where it is printed with both leads. */
bool ladder_shown(const struct layout *layout, uint32_t exercise)
{
    const struct settings *settings = settings_of(layout, exercise);
    if (!settings->show->ladder || !is_goal(settings->tempo))
        return false;
    if (exercise == OWNER_NONE)
        return true;
    const struct score_exercise *at = &layout->score->exercises[exercise];
    bool again = exercise + 1 < layout->score->exercise_count && at[1].source == at->source;
    return settings->tempo != layout->score->lesson->settings.tempo && !again;
}

bool caution_shown(const struct layout *layout)
{
    if (is_goal(layout->score->lesson->settings.tempo))
        return true;
    for (size_t i = 0; i < layout->score->exercise_count; i++)
        if (is_goal(layout->score->exercises[i].tempo))
            return true;
    return false;
}

/* The step of a range's rungs: one that divides it into about six, else a round number of beats. */
static unsigned rung_step(unsigned range)
{
    static const unsigned parts[] = {6, 5, 7, 4, 8, 3};
    static const unsigned steps[] = {1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100, 200};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (range % parts[i] == 0)
            return range / parts[i];
    size_t pick = 0;
    while (pick + 1 < sizeof steps / sizeof *steps && steps[pick] * parts[0] < range)
        pick++;
    return steps[pick];
}

static size_t range_rungs(unsigned low, unsigned high, unsigned rungs[RUNGS_MOST])
{
    size_t count = 0;
    for (unsigned bpm = low; bpm < high && count + 1 < RUNGS_MOST; bpm += rung_step(high - low))
        rungs[count++] = bpm;
    if (count > 1 && high - rungs[count - 1] < (rungs[1] - rungs[0] + 1) / 2)
        count--; /* it would crowd the goal */
    rungs[count++] = high;
    return count;
}

static size_t ladder_rungs(const struct tempo *tempo, unsigned rungs[RUNGS_MOST])
{
    if (tempo->range && tempo->bpm[0] < tempo->bpm[1])
        return range_rungs(tempo->bpm[0], tempo->bpm[1], rungs);
    size_t count = 0;
    for (; count < tempo->count && count < RUNGS_MOST; count++)
        rungs[count] = tempo->bpm[count];
    return count;
}

static sp rung_draw(struct layout *layout, unsigned bpm, sp x, sp y)
{
    char text[16];
    snprintf(text, sizeof text, "%u", bpm);
    sp side = paper(layout, HOUSE_LADDER_BOX_UM);
    sp middle = y + text_ink(layout, TEXT_LADDER_STEP, "0").top / 2;
    pen_box(&layout->pen, ROLE_LADDER_BOX,
            (struct box){x, middle - side / 2, x + side, middle + side / 2},
            paper(layout, HOUSE_LADDER_LINE_UM));
    x += side + paper(layout, HOUSE_LADDER_STEP_GAP_UM);
    return x + text_left(layout, ROLE_LADDER_STEP, TEXT_LADDER_STEP, text, x, y);
}

void ladder_draw(struct layout *layout, uint32_t exercise)
{
    unsigned rungs[RUNGS_MOST];
    size_t count = ladder_rungs(settings_of(layout, exercise)->tempo, rungs);
    sp gap = paper(layout, HOUSE_LADDER_ITEM_GAP_UM), x = layout->sheet.text_left, y = 0;
    sp room = paper(layout, HOUSE_LADDER_BOX_UM + HOUSE_LADDER_STEP_GAP_UM) +
              text_advance(layout, TEXT_LADDER_STEP, "000");
    layout->pen.owner = mark_owner(exercise, 0, OWNER_NONE, OWNER_NONE);
    x += text_left(layout, ROLE_LADDER_TITLE, TEXT_LADDER_TITLE, "Practice ladder", x, y) + gap;
    sp left = x;
    for (size_t i = 0; i < count; i++) {
        if (x > left && x + room > layout->sheet.text_right) {
            x = left;
            y += paper(layout, HOUSE_LADDER_BOX_UM + HOUSE_KEY_ROW_GAP_UM);
        }
        x = rung_draw(layout, rungs[i], x, y) + gap;
    }
}
