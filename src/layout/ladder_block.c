#include "layout/layout_state.h"
#include "layout/page_blocks.h"
#include "layout/text.h"
#include "model/ladder.h"

#include <stdlib.h>

/* The practice ladder: tempos as tick boxes. */

static void rung_draw(struct layout *layout, unsigned tempo, sp x, sp y)
{
    char text[TEMPO_TEXT_ROOM];
    tempo_text(tempo, text);
    sp side = paper(layout, HOUSE_LADDER_BOX_UM);
    sp middle = y + text_ink(layout, TEXT_LADDER_STEP, "0").top / 2;
    pen_box(&layout->pen, ROLE_LADDER_BOX,
            (struct box){x, middle - side / 2, x + side, middle + side / 2},
            paper(layout, HOUSE_LADDER_LINE_UM));
    x += side + paper(layout, HOUSE_LADDER_STEP_GAP_UM);
    text_left(layout, ROLE_LADDER_STEP, TEXT_LADDER_STEP, text, x, y);
}

static bool has_fractions(const unsigned *rungs, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (rungs[i] % TEMPO_ONE)
            return true;
    return false;
}

/* ", 1, 3-5": the exercises that the ladder is for, and how many they are. */
static size_t add_exercises(const struct score *score, size_t ladder, struct buffer *out)
{
    size_t count = 0;
    for (size_t i = 0; i < score->exercise_count;) {
        size_t end = i;
        while (end < score->exercise_count && ladder_is_for(score, ladder, end))
            end++;
        if (end > i) {
            unsigned first = score->exercises[i].number, last = score->exercises[end - 1].number;
            buffer_format(out, "%s %u", count ? "," : "", first);
            if (last > first)
                buffer_format(out, "%s%u", last > first + 1 ? "\u2013" : ", ", last);
            count += end - i;
        }
        i = end > i ? end : i + 1;
    }
    return count;
}

/* "Practice ladder", and for which exercises if the sheet has several: "Practice ladder · Exercise
   4", "Practice ladder · Exercises 1, 3". */
static const char *ladder_title(struct layout *layout, size_t ladder)
{
    const char *title = page_word(layout->words, "Practice ladder");
    if (!ladders_several(layout->score))
        return title;
    struct buffer numbers = {0}, text = {0};
    size_t count = add_exercises(layout->score, ladder, &numbers);
    if (count == 0) {
        buffer_release(&numbers);
        return title;
    }
    buffer_format(&text, "%s \u00b7 ", title);
    if (count == 1)
        page_word_fill(&text, page_word(layout->words, "Exercise {n}"),
                       (unsigned)strtoul(buffer_text(&numbers), NULL, 10), 0);
    else
        buffer_format(&text, "%s%s", page_word(layout->words, "Exercises"), buffer_text(&numbers));
    buffer_release(&numbers);
    return buffer_keep(&text, layout->arena);
}

/* How the steps share a width: closer together if they then fit one row, else in rows of like
   length, one below the other. */
struct steps {
    size_t in_row;
    sp room, gap;
};

static struct steps share_width(const struct layout *layout, size_t count, sp room, sp width)
{
    const sp gap = paper(layout, HOUSE_LADDER_ITEM_GAP_UM);
    const sp least = paper(layout, HOUSE_LADDER_ITEM_GAP_LEAST_UM);
    sp most = (sp)count;
    if (most * room + (most - 1) * gap <= width)
        return (struct steps){count, room, gap};
    if (most * room + (most - 1) * least <= width)
        return (struct steps){count, room, (width - most * room) / (most - 1)};
    size_t fit = width > room ? (size_t)((width + gap) / (room + gap)) : 1;
    size_t rows = (count + fit - 1) / fit;
    return (struct steps){(count + rows - 1) / rows, room, gap};
}

void ladder_draw(struct layout *layout, uint32_t exercise)
{
    unsigned rungs[TEMPO_RUNGS_MAX];
    size_t count = ladder_rungs(layout->score, exercise, rungs);
    sp x = layout->sheet.text_left;
    sp room =
        paper(layout, HOUSE_LADDER_BOX_UM + HOUSE_LADDER_STEP_GAP_UM) +
        text_advance(layout, TEXT_LADDER_STEP, has_fractions(rungs, count) ? "000.00" : "000");
    layout->pen.owner = exercise_owner(exercise);
    x += text_left(layout, ROLE_LADDER_TITLE, TEXT_LADDER_TITLE, ladder_title(layout, exercise), x,
                   0) +
         paper(layout, HOUSE_LADDER_ITEM_GAP_UM);
    struct steps steps = share_width(layout, count, room, layout->sheet.text_right - x);
    for (size_t i = 0; i < count; i++)
        rung_draw(layout, rungs[i], x + (sp)(i % steps.in_row) * (steps.room + steps.gap),
                  (sp)(i / steps.in_row) *
                      paper(layout, HOUSE_LADDER_BOX_UM + HOUSE_KEY_ROW_GAP_UM));
}
