/* Writes one line of the grid as text. */
#include "base/cells.h"
#include "chart/grid_int.h"

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

static const char *line_before(const struct grid *grid, size_t beat)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    if (!at->begins_bar)
        return LINE_BEAT;
    const struct score_bar *bars = grid->exercise->bars;
    bool repeat = bars[at->bar].repeat_begins || (at->bar && bars[at->bar - 1].repeat_ends);
    return repeat ? LINE_REPEAT : LINE_BAR;
}

static const char *line_after(const struct grid *grid, size_t beat)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    if (!at->ends_bar)
        return LINE_BEAT;
    return grid->exercise->bars[at->bar].repeat_ends ? LINE_REPEAT : LINE_BAR;
}

static void add_label(const struct grid *grid, const char *label, struct buffer *out)
{
    struct buffer clean = {0};
    cells_clean(&clean, label, strlen(label));
    size_t length = clean.length;
    while (cells_of_text(buffer_text(&clean), length) > grid->label_width)
        length--;
    while (length < clean.length && (clean.bytes[length] & 0xC0) == 0x80)
        length--;
    buffer_add_text(out, "  ");
    buffer_add(out, buffer_text(&clean), length);
    add_blanks(out, grid->label_width + 1 - cells_of_text(buffer_text(&clean), length));
    buffer_release(&clean);
}

/* The tokens of one beat. In a beat with too few units, a token without room of its own comes one
   space after the one before it. */
static void draw_beat(const struct grid *grid, struct row *row, size_t beat, struct buffer *out)
{
    const struct grid_beat *at = &grid->beats.items[beat];
    size_t drawn = 0, unit = grid_unit_width(grid, at);
    for (; row->drawn < row->tokens.count; row->drawn++) {
        const struct token *token = &row->tokens.items[row->drawn];
        if (token->beat != beat)
            break;
        size_t place = grid->lead + grid_unit_of(grid, token) * unit - grid_cells(token->before);
        if (place > drawn)
            add_blanks(out, place - drawn);
        else if (drawn)
            add_blanks(out, 1);
        drawn = place > drawn ? place : drawn + (drawn > 0);
        buffer_add_text(out, token->before);
        cells_clean(out, token->text, strlen(token->text));
        drawn += grid_cells(token->before) + grid_cells(token->text);
    }
    if (drawn < at->width)
        add_blanks(out, at->width - drawn);
}

void grid_end_line(struct buffer *out)
{
    while (out->length && out->bytes[out->length - 1] == ' ')
        out->bytes[--out->length] = '\0';
    buffer_add_text(out, "\n");
}

static void draw_row(const struct grid *grid, struct row *row, struct stretch stretch,
                     const char *label, const char *after, struct buffer *out)
{
    add_label(grid, label, out);
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        buffer_add_text(out, line_before(grid, beat));
        draw_beat(grid, row, beat, out);
    }
    buffer_format(out, "%s%s", line_after(grid, stretch.end - 1), after);
    grid_end_line(out);
}

/* Dynamics start at their places and may run across the lines between beats. */
static void draw_words(const struct grid *grid, struct row *row, struct stretch stretch,
                       const char *label, struct buffer *out)
{
    add_label(grid, label, out);
    size_t drawn = 0, beat_place = 1;
    for (size_t beat = stretch.first; beat < stretch.end; beat++) {
        const struct grid_beat *at = &grid->beats.items[beat];
        size_t unit = grid_unit_width(grid, at);
        for (; row->drawn < row->tokens.count; row->drawn++) {
            const struct token *token = &row->tokens.items[row->drawn];
            if (token->beat != beat)
                break;
            size_t place = beat_place + grid->lead + grid_unit_of(grid, token) * unit;
            add_blanks(out, place > drawn ? place - drawn : 1);
            drawn = (place > drawn ? place : drawn + 1) + grid_cells(token->text);
            buffer_add_text(out, token->text);
        }
        beat_place += at->width + 1;
    }
    grid_end_line(out);
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
static void bars_label(const struct grid *grid, struct stretch stretch, struct buffer *label)
{
    const struct score_bar *bars = grid->exercise->bars;
    const struct score_bar *first = &bars[grid->beats.items[stretch.first].bar];
    const struct score_bar *last = &bars[grid->beats.items[stretch.end - 1].bar];
    if (!first->pickup)
        buffer_add_text(label, first == last ? "bar " : "bars ");
    add_bar_number(first, label);
    if (first != last) {
        buffer_add_text(label, "-");
        add_bar_number(last, label);
    }
}

void grid_draw(struct grid *grid, struct stretch stretch, struct buffer *out)
{
    const struct grid_beat *last = &grid->beats.items[stretch.end - 1];
    const struct score_bar *bar = &grid->exercise->bars[last->bar];
    struct buffer label = {0};
    char plays[16] = "";
    bars_label(grid, stretch, &label);
    if (last->ends_bar && bar->repeat_ends && bar->plays)
        snprintf(plays, sizeof plays, "\u00D7%u", (unsigned)bar->plays);
    draw_row(grid, &grid->counts, stretch, buffer_text(&label), plays, out);
    buffer_release(&label);
    if (row_has(&grid->dynamics, stretch))
        draw_words(grid, &grid->dynamics, stretch, "loudness", out);
    if (grid->sticking.tokens.count)
        draw_row(grid, &grid->sticking, stretch, "sticking", "", out);
    for (size_t i = 0; i < grid->voices.count; i++)
        draw_row(grid, &grid->voices.items[i], stretch, grid->voices.items[i].label, "", out);
}
