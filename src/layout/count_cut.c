#include "layout/count_row.h"
#include "layout/layout_state.h"

/*
 * Counts have two cuts, and an exercise uses one throughout. Rods make room only for the condensed
 * cut, to disturb the spacing of the notes as little as possible. Once the lines are justified and
 * the columns fixed, the exercise gets the wide cut if that fits everywhere.
 */

/* Whether the bar's wide counts keep their white to each other and half of it to where the bar
   lines would cut their row. */
static bool bar_is_roomy(const struct layout *layout, const struct set_bar *bar)
{
    const struct column *columns = layout->work.columns.items;
    sp line = bar > line_first_bar(&layout->work) ? bar[-1].right : layout->sheet.text_left;
    sp free = line + HOUSE_COUNT_ROOM / 2;
    for (size_t i = bar->columns.first; i < bar->columns.end; i++) {
        if (columns[i].count == NONE)
            continue;
        struct short_label label = count_label(layout, &bar->bar->counts[columns[i].count], false);
        sp x = columns[i].x - label.centre;
        if (x + label.ink.left < free)
            return false;
        free = x + label.ink.right + HOUSE_COUNT_ROOM;
    }
    return free - HOUSE_COUNT_ROOM / 2 <= bar->line_left;
}

static bool line_is_roomy(struct layout *layout, const struct music_line *line)
{
    const struct work *work = &layout->work;
    bars_collect(layout, line);
    bars_place(layout, line, line_solve(layout, line));
    for (const struct set_bar *bar = line_first_bar(work); bar <= line_last_bar(work); bar++)
        if (!bar_is_roomy(layout, bar))
            return false;
    return true;
}

void counts_choose(struct layout *layout, struct music_line *first, struct music_line *end)
{
    bool roomy = true;
    for (struct music_line *line = first; line < end && roomy; line++)
        roomy = line_is_roomy(layout, line);
    for (struct music_line *line = first; line < end; line++)
        line->tight_counts = !roomy;
}
