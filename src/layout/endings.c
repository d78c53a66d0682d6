#include "layout/bar_lines.h"
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

/* The bars of one line that have one ending. */
struct stretch {
    const struct set_bar *first, *last;
    sp left, right;
};

/* The line's next ending from `first` on; false if it has no more. */
static bool stretch_next(const struct layout *layout, const struct set_bar *first,
                         struct stretch *stretch)
{
    const struct set_bar *end = line_last_bar(&layout->work);
    while (first <= end && !first->bar->ending)
        first++;
    if (first > end)
        return false;
    const struct set_bar *last = first;
    while (last < end && !last->bar->ending_ends && last[1].bar->ending == first->bar->ending)
        last++;
    *stretch = (struct stretch){first, last, bar_begins(&layout->work, first), last->right};
    return true;
}

static enum bar_line line_after(const struct layout *layout, const struct set_bar *bar)
{
    return bar_line_after(bar->bar, line_next_bar(&layout->work, bar));
}

/*
 * Brackets of a line stand at one height. Hooks go on bar lines: the first on the right edge of the
 * line before the ending, the last on the thin one after it, so that two endings are parted by the
 * bar line between them.
 *
 *     1.--------  2.---
 *     |        |  |    |
 *     |       :|| |   |||
 */
static void bracket_draw(struct layout *layout, const struct stretch *stretch, sp y)
{
    sp width = layout->defaults->tuplet_bracket, foot = y + HOUSE_ENDING_HOOK;
    bool opens = stretch->first == line_first_bar(&layout->work);
    sp left = stretch->left + (opens ? width / 2 : -width / 2), right = stretch->right;
    struct pen *pen = &layout->pen;
    bool ends = stretch->last->bar->ending_ends, begins = stretch->first->bar->ending_begins;
    if (ends)
        right = stretch->last->line_left + width / 2 +
                bar_line_thin(layout, line_after(layout, stretch->last));
    pen_horizontal(pen, ROLE_ENDING, begins ? left - width / 2 : stretch->left, right, y, width);
    if (ends)
        pen_upright(pen, ROLE_ENDING, right - width / 2, y, foot, width);
    if (!begins)
        return;
    pen_upright(pen, ROLE_ENDING, left, y, foot, width);
    char text[128];
    passes_text(stretch->first->bar->ending, text, sizeof text);
    text_left(layout, ROLE_ENDING_LABEL, TEXT_ENDING, text, left + HOUSE_ENDING_TEXT,
              y + HOUSE_ENDING_TEXT - text_ink(layout, TEXT_ENDING, text).top);
}

static void brackets_draw(struct layout *layout)
{
    struct stretch stretch;
    sp y = INT32_MAX;
    const struct set_bar *bar = line_first_bar(&layout->work);
    for (; stretch_next(layout, bar, &stretch); bar = stretch.last + 1)
        y = sp_min(y, skyline_top(&layout->skyline, stretch.left, stretch.right));
    for (bar = line_first_bar(&layout->work); stretch_next(layout, bar, &stretch);
         bar = stretch.last + 1) {
        layout->pen.owner = bar_owner(layout, stretch.first->index);
        bracket_draw(layout, &stretch, y - HOUSE_ENDING_GAP - HOUSE_ENDING_HOOK);
    }
}

/* Numbered endings already show how often to repeat. */
static bool says_plays(const struct score_bar *bar)
{
    return bar->repeat_ends && bar->plays >= 2 && !bar->ending;
}

static const char *plays_text(const struct layout *layout, const struct set_bar *bar,
                              struct buffer *text)
{
    unsigned plays = bar->bar->plays;
    page_word_fill(text, page_plural(layout->words, "play {n} time", "play {n} times", plays),
                   plays, 0);
    return buffer_text(text);
}

/* The hook ends at the thick line, not at the dots of a repeat that begins there. */
static sp plays_right(const struct layout *layout, const struct set_bar *bar)
{
    return bar->line_left + bar_line_thick(layout, line_after(layout, bar)) +
           layout->defaults->thick_bar / 2;
}

/* The lowest baseline that clears everything below. */
static sp plays_lowest(const struct layout *layout, const struct set_bar *bar)
{
    struct buffer text = {0};
    struct box ink = text_ink(layout, TEXT_PLAYS, plays_text(layout, bar, &text));
    sp right = plays_right(layout, bar), left = right - box_width(ink) - HOUSE_PLAYS_CLEAR;
    buffer_release(&text);
    return skyline_top(&layout->skyline, left, right) - HOUSE_PLAYS_GAP - ink.bottom;
}

static void plays_write(struct layout *layout, const struct set_bar *bar, sp baseline)
{
    struct buffer filled = {0};
    const char *text = plays_text(layout, bar, &filled);
    layout->pen.owner = bar_owner(layout, bar->index);
    text_left(layout, ROLE_PLAYS, TEXT_PLAYS, text,
              plays_right(layout, bar) - text_ink(layout, TEXT_PLAYS, text).right, baseline);
    buffer_release(&filled);
}

/* How often repeats are played: on one baseline, each ending with its bar line. */
static void plays_draw(struct layout *layout)
{
    const struct set_bar *first = line_first_bar(&layout->work);
    const struct set_bar *last = line_last_bar(&layout->work);
    sp baseline = INT32_MAX;
    for (const struct set_bar *bar = first; bar <= last; bar++)
        if (says_plays(bar->bar))
            baseline = sp_min(baseline, plays_lowest(layout, bar));
    for (const struct set_bar *bar = first; bar <= last; bar++)
        if (says_plays(bar->bar))
            plays_write(layout, bar, baseline);
}

void endings_draw(struct layout *layout)
{
    brackets_draw(layout);
    plays_draw(layout);
}
