#include "layout/layout_int.h"

#include <stdio.h>
#include <string.h>

/* Over the staff: brackets of endings, and how often a repeat is played. */

/* "1.", "1, 3.", "1–3." */
static void passes_text(const struct ending *ending, char *text, size_t room)
{
    size_t length = 0;
    for (size_t i = 0; i < ending->pass_count && length + 24 < room;) {
        size_t run = i;
        while (run + 1 < ending->pass_count && ending->passes[run + 1] == ending->passes[run] + 1)
            run++;
        const char *comma = i ? ", " : "";
        if (run > i + 1)
            length += (size_t)snprintf(text + length, room - length, "%s%u\u2013%u", comma,
                                       ending->passes[i], ending->passes[run]);
        else
            length +=
                (size_t)snprintf(text + length, room - length, "%s%u", comma, ending->passes[i]);
        i = run > i + 1 ? run + 1 : i + 1;
    }
    snprintf(text + length, room - length, ".");
}

static void bracket_draw(struct layout *layout, const struct set_bar *first,
                         const struct set_bar *last)
{
    sp width = layout->defaults->tuplet_bracket;
    sp left = first->left + width / 2, right = last->line_left;
    sp y = skyline_top(&layout->skyline, left, right) - HOUSE_ENDING_GAP - HOUSE_ENDING_HOOK;
    struct pen *pen = &layout->pen;
    pen_line(pen, ROLE_ENDING, (struct point){left, y}, (struct point){right, y}, width);
    if (last->bar->ending_ends)
        pen_line(pen, ROLE_ENDING, (struct point){right - width / 2, y},
                 (struct point){right - width / 2, y + HOUSE_ENDING_HOOK}, width);
    if (!first->bar->ending_begins)
        return;
    pen_line(pen, ROLE_ENDING, (struct point){left, y}, (struct point){left, y + HOUSE_ENDING_HOOK},
             width);
    char text[128];
    passes_text(first->bar->ending, text, sizeof text);
    label_id label = metrics_label(layout->metrics, TEXT_ENDING, text, strlen(text));
    sp top = metrics_of_label(layout->metrics, label)->ink.top;
    pen_label(pen, ROLE_ENDING_LABEL, label, left + HOUSE_ENDING_TEXT, y + HOUSE_ENDING_TEXT - top);
}

static void brackets_draw(struct layout *layout, const struct staff *staff)
{
    const struct work *work = &layout->work;
    for (size_t first = 0; first < work->bar_count; first++) {
        const struct set_bar *bars = work->bars;
        if (!bars[first].bar->ending)
            continue;
        size_t last = first;
        while (last + 1 < work->bar_count && !bars[last].bar->ending_ends &&
               bars[last + 1].bar->ending == bars[first].bar->ending)
            last++;
        layout->pen.owner = mark_owner(staff->index, 0, bars[first].index, OWNER_NONE);
        bracket_draw(layout, &bars[first], &bars[last]);
        first = last;
    }
}

static void plays_draw(struct layout *layout, const struct set_bar *bar)
{
    char text[64];
    snprintf(text, sizeof text, "play %u times", bar->bar->plays);
    label_id label = metrics_label(layout->metrics, TEXT_PLAYS, text, strlen(text));
    const struct label_metrics *metrics = metrics_of_label(layout->metrics, label);
    sp x = bar->right - metrics->ink.right, left = x + metrics->ink.left;
    sp y = skyline_top(&layout->skyline, left - HOUSE_PLAYS_CLEAR, bar->right) - HOUSE_PLAYS_GAP -
           metrics->ink.bottom;
    pen_label(&layout->pen, ROLE_PLAYS, label, x, y);
}

void endings_draw(struct layout *layout, const struct staff *staff)
{
    const struct work *work = &layout->work;
    brackets_draw(layout, staff);
    for (size_t i = 0; i < work->bar_count; i++) {
        const struct set_bar *bar = &work->bars[i];
        if (!bar->bar->repeat_ends || bar->bar->plays < 2)
            continue;
        layout->pen.owner = mark_owner(staff->index, 0, bar->index, OWNER_NONE);
        plays_draw(layout, bar);
    }
}
