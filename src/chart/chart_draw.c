/* Writes one line of the chart as text. */
#include "base/cells.h"
#include "chart/chart_int.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#define LINE_BAR "\u2502"
#define LINE_BEAT "\u250A"
#define LINE_REPEAT "\u2551"

static void add_blanks(struct buffer *out, size_t count)
{
    for (; count; count--)
        buffer_add(out, " ", 1);
}

/* The bar that ends with a beat: the last one of a rest of several bars. */
static const struct score_bar *bar_after(const struct chart *chart, size_t beat)
{
    const struct score_bar *bar = &chart->exercise->bars[chart->beats.items[beat].bar];
    return bar->signs && bar->signs->rest ? bar + bar->signs->rest - 1 : bar;
}

static const char *line_before(const struct chart *chart, size_t beat)
{
    const struct chart_beat *at = &chart->beats.items[beat];
    if (!at->begins_bar)
        return LINE_BEAT;
    const struct score_bar *bars = chart->exercise->bars;
    bool repeat = bars[at->bar].repeat_begins || (at->bar && bars[at->bar - 1].repeat_ends);
    return repeat ? LINE_REPEAT : LINE_BAR;
}

static const char *line_after(const struct chart *chart, size_t beat)
{
    const struct chart_beat *at = &chart->beats.items[beat];
    if (!at->ends_bar)
        return LINE_BEAT;
    return bar_after(chart, beat)->repeat_ends ? LINE_REPEAT : LINE_BAR;
}

static void add_label(const struct chart *chart, const char *label, struct buffer *out)
{
    struct buffer clean = {0};
    cells_clean(&clean, label, strlen(label));
    size_t length = clean.length;
    while (cells_of_text(buffer_text(&clean), length) > chart->label_width)
        length--;
    while (length < clean.length && (clean.bytes[length] & 0xC0) == 0x80)
        length--;
    buffer_add_text(out, "  ");
    buffer_add(out, buffer_text(&clean), length);
    add_blanks(out, chart->label_width + 1 - cells_of_text(buffer_text(&clean), length));
    buffer_release(&clean);
}

/* The tokens of one beat. In a beat with too few units, a token without room of its own comes one
   space after the one before it. */
static void draw_beat(const struct chart *chart, struct row *row, size_t beat, struct buffer *out)
{
    const struct chart_beat *at = &chart->beats.items[beat];
    size_t drawn = 0, unit = chart_unit_width(chart, at);
    for (; row->drawn < row->tokens.count; row->drawn++) {
        const struct token *token = &row->tokens.items[row->drawn];
        if (token->beat != beat)
            break;
        size_t place =
            chart->lead + chart_unit_of(chart, token) * unit - chart_cells(token->before);
        if (place > drawn)
            add_blanks(out, place - drawn);
        else if (drawn)
            add_blanks(out, 1);
        drawn = place > drawn ? place : drawn + (drawn > 0);
        buffer_add_text(out, token->before);
        cells_clean(out, token->text, strlen(token->text));
        drawn += chart_cells(token->before) + chart_cells(token->text);
    }
    if (drawn < at->width)
        add_blanks(out, at->width - drawn);
}

void chart_end_line(struct buffer *out)
{
    while (out->length && out->bytes[out->length - 1] == ' ')
        out->bytes[--out->length] = '\0';
    buffer_add_text(out, "\n");
}

static void draw_row(const struct chart *chart, struct row *row, struct stretch stretch,
                     const char *label, const char *after, struct buffer *out)
{
    add_label(chart, label, out);
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        buffer_add_text(out, line_before(chart, beat));
        draw_beat(chart, row, beat, out);
    }
    buffer_format(out, "%s%s", line_after(chart, stretch.end - 1), after);
    chart_end_line(out);
}

/* Dynamics and words start at their places and may run across the lines between beats. */
static void draw_words(const struct chart *chart, struct row *row, struct stretch stretch,
                       const char *label, struct buffer *out)
{
    add_label(chart, label, out);
    size_t drawn = 0, beat_place = 1;
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        const struct chart_beat *at = &chart->beats.items[beat];
        size_t unit = chart_unit_width(chart, at);
        for (; row->drawn < row->tokens.count; row->drawn++) {
            const struct token *token = &row->tokens.items[row->drawn];
            if (token->beat != beat)
                break;
            size_t place = beat_place + chart->lead + chart_unit_of(chart, token) * unit;
            add_blanks(out, place > drawn ? place - drawn : 1);
            drawn = (place > drawn ? place : drawn + 1) + chart_cells(token->text);
            cells_clean(out, token->text, strlen(token->text));
        }
        beat_place += at->width + 1;
    }
    chart_end_line(out);
}

static bool row_has(const struct row *row, struct stretch stretch)
{
    return row->drawn < row->tokens.count && row->tokens.items[row->drawn].beat < stretch.end;
}

static void add_bar_number(const struct score_bar *bar, struct buffer *out)
{
    if (bar->pickup)
        buffer_add_text(out, "pickup");
    else
        buffer_format(out, "%" PRIu32, bar->number);
}

/* "bar 3", "bars 1-4", "pickup". */
static void bars_label(const struct chart *chart, struct stretch stretch, struct buffer *label)
{
    const struct score_bar *bars = chart->exercise->bars;
    const struct score_bar *first = &bars[chart->beats.items[stretch.first].bar];
    const struct score_bar *last = bar_after(chart, stretch.end - 1);
    if (!first->pickup)
        buffer_add_text(label, first == last ? "bar " : "bars ");
    add_bar_number(first, label);
    if (first != last) {
        buffer_add_text(label, "-");
        add_bar_number(last, label);
    }
}

void chart_draw(struct chart *chart, struct stretch stretch, struct buffer *out)
{
    const struct chart_beat *last = &chart->beats.items[stretch.end - 1];
    const struct score_bar *bar = bar_after(chart, stretch.end - 1);
    struct buffer label = {0};
    char plays[16] = "";
    if (row_has(&chart->words, stretch))
        draw_words(chart, &chart->words, stretch, "words", out);
    if (row_has(&chart->band, stretch))
        draw_row(chart, &chart->band, stretch, "band", "", out);
    bars_label(chart, stretch, &label);
    if (last->ends_bar && bar->repeat_ends && bar->plays)
        snprintf(plays, sizeof plays, "\u00D7%u", (unsigned)bar->plays);
    draw_row(chart, &chart->counts, stretch, buffer_text(&label), plays, out);
    buffer_release(&label);
    if (row_has(&chart->dynamics, stretch))
        draw_words(chart, &chart->dynamics, stretch, "loudness", out);
    if (chart->sticking.tokens.count)
        draw_row(chart, &chart->sticking, stretch, "sticking", "", out);
    for (size_t i = 0; i < chart->voices.count; i++)
        draw_row(chart, &chart->voices.items[i], stretch, chart->voices.items[i].label, "", out);
}
