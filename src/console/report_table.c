/* The table of exercises that ends the report of `check`. */
#include "base/cells.h"
#include "check/check.h"
#include "console/report_forms.h"
#include "play/play.h"

#include <inttypes.h>
#include <string.h>

/* In cells. A longer text is cut, so that what follows stays in its column. */
enum { COLUMN_WIDEST = 54 };

static const char *const headings[TABLE_COLUMNS] = {"exercise", "sticking", "lines up", "up to",
                                                    "limit"};

static const char *cycle_words(const struct cycle *cycle, struct arena *arena)
{
    if (cycle->slots_in_cycle == 0 || cycle->bars_to_line_up == 0)
        return "";
    if (cycle->bars_to_line_up == 1)
        return "every bar";
    return arena_format(arena, "after %" PRIu64 " bars", cycle->bars_to_line_up);
}

static const char *sticking_words(const struct score_exercise *exercise, struct arena *arena)
{
    const char *words = check_sticking_words(exercise, arena);
    if (words)
        return words;
    return exercise->verdict && exercise->verdict->proposed ? "(the best)" : "";
}

static const char *clean(const char *text, struct arena *arena)
{
    struct buffer out = {0};
    cells_clean(&out, text, strlen(text));
    text = arena_copy_text(arena, buffer_text(&out), out.length);
    buffer_release(&out);
    return text;
}

static size_t cells_in(const char *text)
{
    return cells_of_text(text, strlen(text));
}

/* A clean text that fits into a column, its end left out if need be. */
static const char *cut(const char *text, struct arena *arena)
{
    size_t length = strlen(text);
    if (cells_of_text(text, length) <= COLUMN_WIDEST)
        return text;
    while (length && (cells_of_text(text, length) >= COLUMN_WIDEST ||
                      ((unsigned char)text[length] & 0xC0) == 0x80))
        length--;
    return arena_format(arena, "%.*s\u2026", (int)length, text);
}

void report_table_add(struct report_table *table, const char *file, const struct score *score)
{
    if (!table->arena)
        table->arena = arena_new();
    struct arena *arena = table->arena;
    file = clean(file, arena);
    for (size_t i = 0; i < score->exercise_count; i++) {
        const struct score_exercise *exercise = &score->exercises[i];
        const struct verdict *verdict = exercise->verdict;
        const char *title = exercise->title ? exercise->title : "";
        const char *cells[TABLE_COLUMNS] = {
            arena_format(arena, "%" PRIu32 " %s", exercise->number, title),
            sticking_words(exercise, arena),
            cycle_words(&exercise->cycle, arena),
            verdict ? play_tempo_words(score, verdict) : "",
            verdict ? play_limit_words(score, verdict) : "",
        };
        struct table_row *row = vector_push(&table->rows, arena);
        row->file = file;
        for (size_t column = 0; column < TABLE_COLUMNS; column++) {
            const char *cell = clean(cells[column], arena);
            bool last = column + 1 == TABLE_COLUMNS;
            row->cells[column] = last ? cell : cut(cell, arena);
        }
    }
}

static void add_row(const char *const cells[TABLE_COLUMNS], const size_t widths[TABLE_COLUMNS],
                    struct buffer *out)
{
    size_t column = 0, at = 0; /* in cells: where the column begins, and where the text ends */
    for (size_t i = 0; i < TABLE_COLUMNS; i++) {
        if (*cells[i]) {
            buffer_format(out, "%*s%s", (int)(column - at), "", cells[i]);
            at = column + cells_in(cells[i]);
        }
        column += widths[i] + 2;
    }
    buffer_add_text(out, "\n");
}

void report_table_write(const struct report_table *table, struct buffer *out)
{
    const struct table_row *rows = table->rows.items;
    size_t count = table->rows.count;
    if (!count)
        return;
    size_t widths[TABLE_COLUMNS];
    for (size_t i = 0; i < TABLE_COLUMNS; i++) {
        widths[i] = cells_in(headings[i]);
        for (size_t row = 0; row < count; row++) {
            size_t used = cells_in(rows[row].cells[i]);
            widths[i] = used > widths[i] ? used : widths[i];
        }
    }
    add_row(headings, widths, out);
    bool files = rows[0].file != rows[count - 1].file;
    for (size_t row = 0; row < count; row++) {
        if (files && (!row || rows[row].file != rows[row - 1].file))
            buffer_format(out, "%s:\n", rows[row].file);
        add_row(rows[row].cells, widths, out);
    }
}

void report_table_release(struct report_table *table)
{
    if (table->arena)
        arena_free(table->arena);
    *table = (struct report_table){0};
}
