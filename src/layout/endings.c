#include "layout/layout_state.h"
#include "layout/system_parts.h"
#include "layout/text.h"

#include <stdio.h>

/* Over the staff: brackets of endings, and how often a repeat is played. */

/* "1.", "1, 3.", "1–3." */
static void passes_text(const struct ending *ending, char *text, size_t room)
{
    size_t length = 0;
    for (size_t i = 0; i < ending->pass_count && length + 24 < room; i++) {
        size_t last = i;
        while (last + 1 < ending->pass_count &&
               ending->passes[last + 1] == ending->passes[last] + 1)
            last++;
        length +=
            (size_t)snprintf(text + length, room - length, i ? ", %u" : "%u", ending->passes[i]);
        if (last > i + 1) {
            length +=
                (size_t)snprintf(text + length, room - length, "\u2013%u", ending->passes[last]);
            i = last;
        }
    }
    snprintf(text + length, room - length, ".");
}

static void bracket_draw(struct layout *layout, const struct set_bar *first,
                         const struct set_bar *last)
{
    sp width = layout->defaults->tuplet_bracket;
    sp left = first->left + width / 2, right = last->line_left;
    sp y = skyline_top(&layout->skyline, left, right) - HOUSE_ENDING_GAP - HOUSE_ENDING_HOOK;
    sp foot = y + HOUSE_ENDING_HOOK;
    struct pen *pen = &layout->pen;
    pen_horizontal(pen, ROLE_ENDING, left, right, y, width);
    if (last->bar->ending_ends)
        pen_upright(pen, ROLE_ENDING, right - width / 2, y, foot, width);
    if (!first->bar->ending_begins)
        return;
    pen_upright(pen, ROLE_ENDING, left, y, foot, width);
    char text[128];
    passes_text(first->bar->ending, text, sizeof text);
    text_left(layout, ROLE_ENDING_LABEL, TEXT_ENDING, text, left + HOUSE_ENDING_TEXT,
              y + HOUSE_ENDING_TEXT - text_ink(layout, TEXT_ENDING, text).top);
}

static void brackets_draw(struct layout *layout)
{
    const struct set_bar *end = line_last_bar(&layout->work);
    for (const struct set_bar *first = line_first_bar(&layout->work); first <= end; first++) {
        const struct set_bar *last = first;
        if (!first->bar->ending)
            continue;
        while (last < end && !last->bar->ending_ends && last[1].bar->ending == first->bar->ending)
            last++;
        layout->pen.owner = bar_owner(layout, first->index);
        bracket_draw(layout, first, last);
        first = last;
    }
}

static void plays_draw(struct layout *layout, const struct set_bar *bar)
{
    struct buffer filled = {0};
    unsigned plays = bar->bar->plays;
    page_word_fill(&filled, page_plural(layout->words, "play {n} time", "play {n} times", plays),
                   plays, 0);
    const char *text = buffer_text(&filled);
    struct box ink = text_ink(layout, TEXT_PLAYS, text);
    sp x = bar->right - ink.right, left = x + ink.left - HOUSE_PLAYS_CLEAR;
    sp y = skyline_top(&layout->skyline, left, bar->right) - HOUSE_PLAYS_GAP - ink.bottom;
    text_left(layout, ROLE_PLAYS, TEXT_PLAYS, text, x, y);
    buffer_release(&filled);
}

void endings_draw(struct layout *layout)
{
    const struct work *work = &layout->work;
    brackets_draw(layout);
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++) {
        if (!bar->bar->repeat_ends || bar->bar->plays < 2)
            continue;
        layout->pen.owner = bar_owner(layout, bar->index);
        plays_draw(layout, bar);
    }
}
