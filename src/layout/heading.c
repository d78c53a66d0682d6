#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/* An exercise's heading: number in its ring, title, instruction beside it where there is room, the
   tempo flush right; and the practice form of a sequence. */

static sp title_left(const struct layout *layout)
{
    return layout->sheet.text_left + paper(layout, 2 * HOUSE_RING_UM + HOUSE_RING_LINE_UM) +
           paper(layout, HOUSE_RING_GAP_UM);
}

/* Where the tempo begins, with white before it. */
static sp title_limit(const struct layout *layout, const struct score_exercise *exercise)
{
    sp width = tempo_width(layout, exercise);
    return layout->sheet.text_right - (width ? width + paper(layout, HOUSE_WORD_GAP_UM) : 0);
}

/* What can stand beside the title: the subtitle, else the one paragraph. */
static const char *beside_text(const struct score_exercise *exercise)
{
    const struct exercise *source = exercise->source;
    if (source->subtitle.text)
        return source->subtitle.text;
    return source->paragraph_count == 1 ? source->paragraphs[0].text : NULL;
}

static sp title_advance(const struct layout *layout, const struct score_exercise *exercise)
{
    return exercise->title ? text_advance(layout, TEXT_HEADING, exercise->title) +
                                 paper(layout, HOUSE_WORD_GAP_UM)
                           : 0;
}

bool heading_takes_text(const struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    const char *text = beside_text(exercise);
    return text && title_left(layout) + title_advance(layout, exercise) +
                           text_advance(layout, TEXT_INSTRUCTION, text) <=
                       title_limit(layout, exercise);
}

/* A title of two lines is parted at its last comma, where both parts fit ("Three and one," /
   "left lead"): what stands behind it; NULL elsewhere. */
static const char *behind_comma(const struct layout *layout, const char *title, sp width)
{
    const struct metrics *metrics = layout->metrics;
    const char *comma = NULL;
    for (const char *at = strchr(title, ','); at; at = strchr(at + 1, ','))
        if (at[1] == ' ')
            comma = at;
    if (!comma || text_advance(layout, TEXT_HEADING, comma + 2) > width)
        return NULL;
    label_id first = metrics_label(metrics, TEXT_HEADING, title, (size_t)(comma + 1 - title));
    return metrics_of_label(metrics, first)->advance <= width ? comma + 2 : NULL;
}

size_t heading_lines(const struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    const label_id *lines;
    sp room = title_limit(layout, exercise) - title_left(layout);
    return exercise->title
               ? layout->metrics->wrap(layout->metrics->self, TEXT_HEADING, exercise->title,
                                       strlen(exercise->title), room, &lines)
               : 0;
}

static void heading_title_draw(struct layout *layout, uint32_t index, sp x, sp width)
{
    const struct metrics *metrics = layout->metrics;
    const char *title = layout->score->exercises[index].title;
    sp lead = text_em(layout, TEXT_HEADING) * HOUSE_TITLE_LEAD / 1000;
    const char *behind =
        heading_lines(layout, index) == 2 ? behind_comma(layout, title, width) : NULL;
    if (!behind) {
        text_wrapped(layout, ROLE_HEADING, TEXT_HEADING, title, (struct point){x, 0},
                     text_even_width(layout, TEXT_HEADING, title, width), lead);
        return;
    }
    label_id first = metrics_label(metrics, TEXT_HEADING, title, (size_t)(behind - 1 - title));
    pen_label(&layout->pen, ROLE_HEADING, first, x, 0);
    text_left(layout, ROLE_HEADING, TEXT_HEADING, behind, x, lead);
}

void heading_draw(struct layout *layout, uint32_t index)
{
    const struct score_exercise *exercise = &layout->score->exercises[index];
    sp x = title_left(layout), limit = title_limit(layout, exercise);
    sp cap = text_ink(layout, TEXT_HEADING, "H").top;
    sp radius = paper(layout, HOUSE_RING_UM) + paper(layout, HOUSE_RING_LINE_UM) / 2;
    layout->pen.owner = mark_owner(index, 0, OWNER_NONE, OWNER_NONE);
    ring_draw(layout, exercise->number, (struct point){layout->sheet.text_left + radius, cap / 2},
              1000);
    if (exercise->title)
        heading_title_draw(layout, index, x, limit - x);
    if (heading_takes_text(layout, index))
        text_left(layout, ROLE_INSTRUCTION, TEXT_INSTRUCTION, beside_text(exercise),
                  x + title_advance(layout, exercise), 0);
    tempo_draw(layout, exercise, layout->sheet.text_right, 0);
}

/* ---- sequences ---------------------------------------------------------------------------- */

/* The printed exercise of a lesson's exercise: its first, where both leads are printed. */
static const struct score_exercise *printed_as(const struct score *score, size_t source)
{
    for (size_t i = 0; i < score->exercise_count; i++)
        if (score->exercises[i].source == &score->lesson->exercises[source])
            return &score->exercises[i];
    return NULL;
}

static void step_text(const struct score_exercise *exercise, unsigned times, char *text,
                      size_t room)
{
    const char *title = exercise->title ? exercise->title : "";
    if (times > 1)
        snprintf(text, room, "%s \u00d7 %u", title, times);
    else
        snprintf(text, room, "%s", title);
}

void form_draw(struct layout *layout, uint32_t index)
{
    const struct exercise *source = layout->score->exercises[index].source;
    sp left = title_left(layout), x = left, y = 0;
    sp cap = text_ink(layout, TEXT_TEMPO, "H").top;
    sp radius = paper(layout, HOUSE_RING_UM * HOUSE_FORM_RING / 1000);
    layout->pen.owner = mark_owner(index, 0, OWNER_NONE, OWNER_NONE);
    for (size_t i = 0; i < source->sequence_count; i++) {
        const struct sequence_step *step = &source->sequence[i];
        const struct score_exercise *exercise = printed_as(layout->score, step->exercise);
        char text[256];
        if (!exercise)
            continue;
        step_text(exercise, step->times, text, sizeof text);
        sp width = 2 * radius + paper(layout, HOUSE_KEY_SIGN_GAP_UM) +
                   text_advance(layout, TEXT_TEMPO, text);
        if (x > left && x + width > layout->sheet.text_right) {
            x = left;
            y += 2 * radius + paper(layout, HOUSE_KEY_ROW_GAP_UM);
        }
        ring_draw(layout, exercise->number, (struct point){x + radius, y + cap / 2},
                  HOUSE_FORM_RING);
        text_left(layout, ROLE_INSTRUCTION, TEXT_TEMPO, text,
                  x + 2 * radius + paper(layout, HOUSE_KEY_SIGN_GAP_UM), y);
        x += width + paper(layout, HOUSE_KEY_ITEM_GAP_UM);
    }
}
