#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/text.h"

#include <stdio.h>

/* An exercise's heading: its number in a ring, title, the tempo flush right; and the practice form
   of a sequence. */

sp title_left(const struct layout *layout)
{
    return layout->sheet.text_left + paper(layout, 2 * HOUSE_RING_UM + HOUSE_RING_LINE_UM) +
           paper(layout, HOUSE_RING_GAP_UM);
}

/* Where the title must end: before the tempo. The titles of two leads break alike, though only the
   first may have a tempo. */
static sp title_limit(const struct layout *layout, const struct score_exercise *exercise)
{
    sp width = tempo_width(layout, exercise);
    if (exercise > layout->score->exercises && exercise[-1].source == exercise->source)
        width = sp_max(width, tempo_width(layout, exercise - 1));
    return layout->sheet.text_right - (width ? width + paper(layout, HOUSE_WORD_GAP_UM) : 0);
}

/* What replaces a missing title: the subtitle, else the only paragraph. */
static const char *title_stand_in(const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    if (exercise->title || source->subtitle.text)
        return exercise->title ? NULL : source->subtitle.text;
    return source->paragraph_count == 1 ? source->paragraphs[0].text : NULL;
}

bool heading_takes_text(const struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    const char *text = title_stand_in(exercise);
    return text && title_left(layout) + text_advance(layout, TEXT_INSTRUCTION, text) <=
                       title_limit(layout, exercise);
}

/* The first line of a title of two that breaks at its last comma ("Three and one," / "left lead"):
   its length; 0 if it does not break there, or both parts do not fit. */
static size_t up_to_comma(const struct layout *layout, const char *title, sp width)
{
    const char *comma = NULL;
    for (const char *at = strstr(title, ", "); at; at = strstr(at + 1, ", "))
        comma = at;
    if (!comma || text_advance(layout, TEXT_HEADING, comma + 2) > width)
        return 0;
    size_t length = (size_t)(comma + 1 - title);
    label_id first = metrics_label(layout->metrics, TEXT_HEADING, title, length);
    return metrics_of_label(layout->metrics, first)->advance <= width ? length : 0;
}

size_t heading_lines(const struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    const label_id *lines;
    sp room = title_limit(layout, exercise) - title_left(layout);
    return exercise->title ? text_wrap(layout, TEXT_HEADING, exercise->title, room, &lines) : 0;
}

/* The most lines that the title takes, or that of the other lead: both break alike. */
static size_t heading_lines_of_twins(const struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercises = layout->score->exercises;
    size_t lines = heading_lines(layout, index), other = 0;
    if (index && exercises[index - 1].source == exercises[index].source)
        other = heading_lines(layout, index - 1);
    else if (index + 1 < layout->score->exercise_count &&
             exercises[index + 1].source == exercises[index].source)
        other = heading_lines(layout, index + 1);
    return lines > other ? lines : other;
}

sp heading_bottom(const struct layout *layout, uint32_t index)
{
    size_t lines = heading_lines_of_twins(layout, index);
    sp lead = text_lead(layout, TEXT_HEADING, HOUSE_TITLE_LEAD);
    return lines ? (sp)(lines - 1) * lead + text_ink(layout, TEXT_HEADING, "g").bottom : 0;
}

static void heading_title_draw(struct layout *layout, uint32_t index, sp x, sp width)
{
    const char *title = layout->score->exercises[index].title;
    sp lead = text_lead(layout, TEXT_HEADING, HOUSE_TITLE_LEAD);
    bool two = heading_lines_of_twins(layout, index) == 2;
    size_t first = two ? up_to_comma(layout, title, width) : 0;
    if (!first) {
        text_wrapped(layout, ROLE_HEADING, TEXT_HEADING, title, (struct point){x, 0},
                     text_even_width(layout, TEXT_HEADING, title, width), lead, HOUSE_TEXT_LINES);
        return;
    }
    pen_label(&layout->pen, ROLE_HEADING,
              metrics_label(layout->metrics, TEXT_HEADING, title, first), x, 0);
    text_left(layout, ROLE_HEADING, TEXT_HEADING, title + first + 1, x, lead);
}

void heading_draw(struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    sp x = title_left(layout), limit = title_limit(layout, exercise);
    sp cap = text_ink(layout, TEXT_HEADING, "H").top;
    sp radius = paper(layout, HOUSE_RING_UM) + paper(layout, HOUSE_RING_LINE_UM) / 2;
    layout->pen.owner = exercise_owner(index);
    ring_draw(layout, exercise->number, (struct point){layout->sheet.text_left + radius, cap / 2},
              1000);
    if (exercise->title)
        heading_title_draw(layout, index, x, limit - x);
    if (heading_takes_text(layout, index))
        text_left(layout, ROLE_INSTRUCTION, TEXT_INSTRUCTION, title_stand_in(exercise), x, 0);
    tempo_draw(layout, exercise, layout->sheet.text_right, 0);
}

void heading_warn_cut(struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    text_warn_cut(layout, exercise->source->title.at, "this title", TEXT_HEADING, exercise->title,
                  title_limit(layout, exercise) - title_left(layout));
}

/* ---- sequences ---------------------------------------------------------------------------- */

/* Where an exercise of the lesson is printed; for both leads: the first of the two. */
static const struct score_exercise *printed_as(const struct score *score, size_t source)
{
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].source == &score->lesson->exercises[source])
            return &score->exercises[i];
    return NULL;
}

static sp form_radius(const struct layout *layout)
{
    return paper(layout, HOUSE_RING_UM * HOUSE_FORM_RING / 1000);
}

sp form_lead(const struct layout *layout)
{
    return 2 * form_radius(layout) + paper(layout, HOUSE_KEY_ROW_GAP_UM);
}

struct step {
    struct text_fit title; /* with how often: "Title × 2" */
    char often[24];        /* " × 2" again, after a title that is cut; else "" */
};

static struct step step_set(const struct layout *layout, const struct score_exercise *exercise,
                            unsigned times, sp room)
{
    const char *title = exercise->title ? exercise->title : "";
    struct step step = {.often = ""};
    if (times > 1)
        title = arena_format(layout->arena, "%s \u00d7 %u", title, times);
    step.title = text_fit(layout, TEXT_TEMPO, title, room);
    if (!step.title.cut || times < 2)
        return step;
    snprintf(step.often, sizeof step.often, " \u00d7 %u", times);
    room -= text_advance(layout, TEXT_TEMPO, step.often);
    step.title = text_fit(layout, TEXT_TEMPO, exercise->title, room);
    return step;
}

static void step_draw(struct layout *layout, const struct step *step, uint32_t number, sp x)
{
    sp cap = text_ink(layout, TEXT_TEMPO, "H").top, radius = form_radius(layout);
    ring_draw(layout, number, (struct point){x + radius, cap / 2}, HOUSE_FORM_RING);
    x += 2 * radius + paper(layout, HOUSE_KEY_SIGN_GAP_UM);
    text_fit_draw(layout, ROLE_INSTRUCTION, &step->title, x, 0);
    if (step->often[0])
        text_left(layout, ROLE_INSTRUCTION, TEXT_TEMPO, step->often, x + step->title.advance, 0);
}

size_t form_draw(struct layout *layout, uint32_t index, size_t first)
{
    const struct exercise *source = layout->score->exercises[index].source;
    sp left = title_left(layout), x = left;
    sp signs = 2 * form_radius(layout) + paper(layout, HOUSE_KEY_SIGN_GAP_UM);
    sp room = layout->sheet.text_right - left - signs;
    layout->pen.owner = exercise_owner(index);
    for (size_t i = first; i < source->sequence_count; i++) {
        const struct sequence_step *step = &source->sequence[i];
        const struct score_exercise *exercise = printed_as(layout->score, step->exercise);
        if (!exercise)
            continue;
        struct step set = step_set(layout, exercise, step->times, room);
        sp end = x + signs + set.title.advance + text_advance(layout, TEXT_TEMPO, set.often);
        if (x > left && end > layout->sheet.text_right)
            return i;
        step_draw(layout, &set, exercise->number, x);
        x = end + paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    }
    return SIZE_MAX;
}
