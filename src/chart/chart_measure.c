/* How wide the beats of the chart are, and where its lines break. */
#include "base/cells.h"
#include "chart/chart_int.h"

#include <stdio.h>
#include <string.h>

/* ---- measuring ---------------------------------------------------------------------------- */

size_t chart_cells(const char *text)
{
    return cells_of_text(text, strlen(text));
}

static void fit_units(struct chart *chart, struct row *row)
{
    for (size_t i = 0; i < row->tokens.count; i++) {
        const struct token *token = &row->tokens.items[i];
        struct chart_beat *beat = &chart->beats.items[token->beat];
        int64_t units = least_common_multiple(beat->units, token->within.denominator);
        beat->units = units > 0 && units <= UNITS_MAX ? (uint32_t)units : UNITS_MAX;
    }
}

size_t chart_unit_of(const struct chart *chart, const struct token *token)
{
    struct fraction units = {chart->beats.items[token->beat].units, 1};
    return (size_t)fraction_floor(fraction_multiply(token->within, units));
}

/* The smallest unit width that fits `needed` cells into `units`. */
static size_t width_for(size_t needed, size_t units)
{
    return units ? (needed + units - 1) / units : 1;
}

static void widen(struct chart *chart, size_t units, size_t width)
{
    if (width > chart->unit_width[units])
        chart->unit_width[units] = width;
}

static void fit_widths(struct chart *chart, struct row *row)
{
    if (row == &chart->dynamics || row == &chart->words)
        return; /* they may run on into the next beat */
    for (size_t i = 0; i < row->tokens.count; i++) {
        const struct token *token = &row->tokens.items[i];
        const struct token *next = i + 1 < row->tokens.count ? token + 1 : NULL;
        size_t units = chart->beats.items[token->beat].units, at = chart_unit_of(chart, token);
        size_t needed = chart_cells(token->text) + 1, room = units - at;
        if (next && next->beat == token->beat) {
            needed += chart_cells(next->before);
            room = chart_unit_of(chart, next) - at;
        }
        widen(chart, units, width_for(needed, room));
        if (at == 0 && chart_cells(token->before) > chart->lead)
            chart->lead = chart_cells(token->before);
        else if (at > 0)
            widen(chart, units, width_for(chart_cells(token->before), at));
    }
}

static void fit_label(struct chart *chart, struct row *row)
{
    if (row->label && chart_cells(row->label) > chart->label_width)
        chart->label_width = chart_cells(row->label);
}

static size_t stretch_cells(const struct chart *chart, size_t first, size_t end)
{
    size_t width = chart->label_width + 3;
    for (size_t i = first; i < end; i++)
        width += chart->beats.items[i].width + 1;
    return width + 4; /* the last line and a play count such as x16 */
}

static size_t end_of_bar(const struct chart *chart, size_t beat)
{
    while (!chart->beats.items[beat].ends_bar)
        beat++;
    return beat + 1;
}

/* What the tokens of the beat need, or more when all beats are as wide as the widest. */
size_t chart_unit_width(const struct chart *chart, const struct chart_beat *beat)
{
    size_t width = chart->unit_width[beat->units];
    if (chart->beat_width)
        width = chart->beat_width / beat->units;
    return width ? width : 1;
}

static void set_widths(struct chart *chart)
{
    for (size_t i = 0; i < chart->beats.count; i++) {
        struct chart_beat *beat = &chart->beats.items[i];
        size_t width = beat->units * chart_unit_width(chart, beat);
        beat->width = chart->lead + (chart->beat_width > width ? chart->beat_width : width);
    }
}

static size_t widest_beat(const struct chart *chart)
{
    size_t widest = 1;
    for (size_t i = 0; i < chart->beats.count; i++) {
        const struct chart_beat *beat = &chart->beats.items[i];
        size_t width = beat->units * chart_unit_width(chart, beat);
        if (width > widest)
            widest = width;
    }
    return widest;
}

/* Makes all beats as wide as the widest, so that bars are easy to compare. If a bar then does not
   fit on a line, each beat gets only the width it needs. */
static void fit_beats(struct chart *chart)
{
    chart->beat_width = widest_beat(chart);
    set_widths(chart);
    for (size_t first = 0; first < chart->beats.count; first = end_of_bar(chart, first)) {
        if (stretch_cells(chart, first, end_of_bar(chart, first)) > chart->columns) {
            chart->beat_width = 0;
            set_widths(chart);
            return;
        }
    }
}

enum { LABEL_MOST = 24 }; /* longer labels are cut */

/* Room for "bars 9-12". */
static size_t bars_label_width(const struct chart *chart)
{
    return 6 + 2 * (size_t)snprintf(NULL, 0, "%zu", chart->exercise->bar_count);
}

void chart_measure(struct chart *chart)
{
    chart_each_row(chart, fit_units);
    chart_each_row(chart, fit_widths);
    chart->label_width = bars_label_width(chart);
    chart_each_row(chart, fit_label);
    if (chart->label_width > LABEL_MOST)
        chart->label_width = LABEL_MOST;
    fit_beats(chart);
}

/* ---- breaking into lines ------------------------------------------------------------------ */

/* Whether a new meter, an ending or a marked part starts here: it is announced above the line. */
static bool is_announced(const struct chart *chart, size_t beat)
{
    const struct chart_beat *at = &chart->beats.items[beat];
    const struct score_bar *bar = &chart->exercise->bars[at->bar];
    const struct bar_signs *signs = bar->signs;
    bool marked = signs && (signs->mark.text || signs->segno.file || signs->coda.file);
    return at->begins_bar && (bar->meter_changes || bar->ending_begins || marked);
}

struct stretch chart_break(const struct chart *chart, size_t first)
{
    struct stretch stretch = {first, first};
    while (stretch.end < chart->beats.count) {
        size_t end = end_of_bar(chart, stretch.end);
        if (stretch_cells(chart, first, end) > chart->columns)
            break;
        if (stretch.end > first && is_announced(chart, stretch.end))
            return stretch;
        stretch.end = end;
    }
    if (stretch.end == first) {
        stretch.end = first + 1;
        size_t bar_end = end_of_bar(chart, first);
        while (stretch.end < bar_end &&
               stretch_cells(chart, first, stretch.end + 1) <= chart->columns)
            stretch.end++;
    }
    return stretch;
}
