#include "layout/layout_int.h"
#include "model/tempo.h"

#include <stdio.h>

/* The practice ladder: tempi as tick boxes, and the caution that goes with every speed goal. */

static const struct settings *settings_of(const struct layout *layout, uint32_t exercise)
{
    return exercise == OWNER_NONE ? &layout->score->lesson->settings
                                  : &layout->score->exercises[exercise].source->settings;
}

static bool is_goal(const struct tempo *tempo)
{
    return tempo && tempo->count > 1;
}

/* With `ladder: limit` every exercise has a ladder, up to its verdict; one that is printed with
   both leads, below the second, up to the lower verdict. NULL: none. */
const struct verdict *ladder_verdict(const struct layout *layout, uint32_t exercise)
{
    const struct score *score = layout->score;
    if (exercise == OWNER_NONE || !settings_of(layout, exercise)->show->ladder_limit)
        return NULL;
    const struct score_exercise *at = &score->exercises[exercise];
    bool again = exercise + 1 < score->exercise_count && at[1].source == at->source;
    bool second = exercise > 0 && at[-1].source == at->source;
    const struct verdict *verdict = at->verdict;
    if (again || !verdict || verdict->kind != VERDICT_TEMPO)
        return NULL;
    bool lower = second && at[-1].verdict && at[-1].verdict->kind == VERDICT_TEMPO &&
                 at[-1].verdict->max_tenths < verdict->max_tenths;
    return lower ? at[-1].verdict : verdict;
}

/* The beat that the ladder counts: the exercise's own, as its tempo mark has it. */
static struct fraction beat_of(const struct layout *layout, uint32_t exercise)
{
    const struct score_exercise *at = &layout->score->exercises[exercise];
    const struct meter *meter = at->bar_count ? at->bars[0].meter : at->source->settings.meter;
    return at->tempo ? tempo_beat(at->tempo, meter) : tempo_meter_beat(meter);
}

static size_t rungs_of(const struct layout *layout, uint32_t exercise,
                       unsigned rungs[TEMPO_RUNGS_MAX])
{
    const struct verdict *verdict = ladder_verdict(layout, exercise);
    if (verdict)
        return tempo_rungs_to(verdict->max_tenths, beat_of(layout, exercise), rungs);
    return tempo_rungs(settings_of(layout, exercise)->tempo, rungs);
}

/* The lesson's ladder stands at its end; an exercise that wrote its own tempo has its own, once
   where it is printed with both leads. */
bool ladder_shown(const struct layout *layout, uint32_t exercise)
{
    const struct settings *settings = settings_of(layout, exercise);
    if (!settings->show->ladder)
        return false;
    if (settings->show->ladder_limit)
        return ladder_verdict(layout, exercise) != NULL;
    if (!is_goal(settings->tempo))
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
        if (is_goal(layout->score->exercises[i].tempo) || ladder_verdict(layout, (uint32_t)i))
            return true;
    return false;
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
    unsigned rungs[TEMPO_RUNGS_MAX];
    size_t count = rungs_of(layout, exercise, rungs);
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
