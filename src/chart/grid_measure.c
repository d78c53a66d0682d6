/* How wide the beats of the grid are, and where its lines break. */
#include "base/cells.h"
#include "chart/grid_int.h"

#include <stdio.h>
#include <string.h>

/* ---- measuring ---------------------------------------------------------------------------- */

size_t grid_cells(const char *text)
{
    return cells_of_text(text, strlen(text));
}

static void fit_units(struct grid *grid, struct row *row)
{
    for (size_t i = 0; i < row->tokens.count; i++) {
        const struct token *token = &row->tokens.items[i];
        struct grid_beat *beat = &grid->beats.items[token->beat];
        int64_t units = least_common_multiple(beat->units, token->within.denominator);
        beat->units = units > 0 && units <= UNITS_MAX ? (uint32_t)units : UNITS_MAX;
    }
}

size_t grid_unit_of(const struct grid *grid, const struct token *token)
{
    struct fraction units = {grid->beats.items[token->beat].units, 1};
    return (size_t)fraction_floor(fraction_multiply(token->within, units));
}

/* The smallest unit width that fits `needed` cells into `units`. */
static size_t width_for(size_t needed, size_t units)
{
    return units ? (needed + units - 1) / units : 1;
}

static void widen(struct grid *grid, size_t units, size_t width)
{
    if (width > grid->unit_width[units])
        grid->unit_width[units] = width;
}

static void fit_widths(struct grid *grid, struct row *row)
{
    if (row == &grid->dynamics)
        return; /* dynamics may run on into the next beat */
    for (size_t i = 0; i < row->tokens.count; i++) {
        const struct token *token = &row->tokens.items[i];
        const struct token *next = i + 1 < row->tokens.count ? token + 1 : NULL;
        size_t units = grid->beats.items[token->beat].units, at = grid_unit_of(grid, token);
        size_t needed = grid_cells(token->text) + 1, room = units - at;
        if (next && next->beat == token->beat) {
            needed += grid_cells(next->before);
            room = grid_unit_of(grid, next) - at;
        }
        widen(grid, units, width_for(needed, room));
        if (at == 0 && grid_cells(token->before) > grid->lead)
            grid->lead = grid_cells(token->before);
        else if (at > 0)
            widen(grid, units, width_for(grid_cells(token->before), at));
    }
}

static void fit_label(struct grid *grid, struct row *row)
{
    if (row->label && grid_cells(row->label) > grid->label_width)
        grid->label_width = grid_cells(row->label);
}

static size_t stretch_cells(const struct grid *grid, size_t first, size_t end)
{
    size_t width = grid->label_width + 3;
    for (size_t i = first; i < end; i++)
        width += grid->beats.items[i].width + 1;
    return width + 4; /* the last line and a play count such as x16 */
}

static size_t end_of_bar(const struct grid *grid, size_t beat)
{
    while (!grid->beats.items[beat].ends_bar)
        beat++;
    return beat + 1;
}

/* What the tokens of the beat need, or more when all beats are as wide as the widest. */
size_t grid_unit_width(const struct grid *grid, const struct grid_beat *beat)
{
    size_t width = grid->unit_width[beat->units];
    if (grid->beat_width)
        width = grid->beat_width / beat->units;
    return width ? width : 1;
}

static void set_widths(struct grid *grid)
{
    for (size_t i = 0; i < grid->beats.count; i++) {
        struct grid_beat *beat = &grid->beats.items[i];
        size_t width = beat->units * grid_unit_width(grid, beat);
        beat->width = grid->lead + (grid->beat_width > width ? grid->beat_width : width);
    }
}

static size_t widest_beat(const struct grid *grid)
{
    size_t widest = 1;
    for (size_t i = 0; i < grid->beats.count; i++) {
        const struct grid_beat *beat = &grid->beats.items[i];
        size_t width = beat->units * grid_unit_width(grid, beat);
        if (width > widest)
            widest = width;
    }
    return widest;
}

/* Makes all beats as wide as the widest, so that bars are easy to compare. If a bar then does not
   fit on a line, each beat gets only the width it needs. */
static void fit_beats(struct grid *grid)
{
    grid->beat_width = widest_beat(grid);
    set_widths(grid);
    for (size_t first = 0; first < grid->beats.count; first = end_of_bar(grid, first)) {
        if (stretch_cells(grid, first, end_of_bar(grid, first)) > grid->columns) {
            grid->beat_width = 0;
            set_widths(grid);
            return;
        }
    }
}

enum { LABEL_MOST = 24 }; /* longer labels are cut */

/* Room for "bars 9-12". */
static size_t bars_label_width(const struct grid *grid)
{
    return 6 + 2 * (size_t)snprintf(NULL, 0, "%zu", grid->exercise->bar_count);
}

void grid_measure(struct grid *grid)
{
    grid_each_row(grid, fit_units);
    grid_each_row(grid, fit_widths);
    grid->label_width = bars_label_width(grid);
    grid_each_row(grid, fit_label);
    if (grid->label_width > LABEL_MOST)
        grid->label_width = LABEL_MOST;
    fit_beats(grid);
}

/* ---- breaking into lines ------------------------------------------------------------------ */

/* Whether a new meter or an ending starts here: it is announced above the line. */
static bool is_announced(const struct grid *grid, size_t beat)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    const struct score_bar *bar = &grid->exercise->bars[at->bar];
    return at->begins_bar && (bar->meter_changes || bar->ending_begins);
}

struct stretch grid_break(const struct grid *grid, size_t first)
{
    struct stretch stretch = {first, first};
    while (stretch.end < grid->beats.count) {
        size_t end = end_of_bar(grid, stretch.end);
        if (stretch_cells(grid, first, end) > grid->columns)
            break;
        if (stretch.end > first && is_announced(grid, stretch.end))
            return stretch;
        stretch.end = end;
    }
    if (stretch.end == first) {
        stretch.end = first + 1;
        size_t bar_end = end_of_bar(grid, first);
        while (stretch.end < bar_end &&
               stretch_cells(grid, first, stretch.end + 1) <= grid->columns)
            stretch.end++;
    }
    return stretch;
}
