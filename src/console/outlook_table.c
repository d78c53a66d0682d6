#include "console/outlook_table.h"

#include "base/cells.h"
#include "console/report_forms.h"
#include "model/tempo.h"

#include <inttypes.h>
#include <string.h>

/* The columns: for text their headings, for CSV and JSON their names. */
enum { COLUMN_WIDEST = 44 };

static const char *const names[] = {"file",         "exercise",      "title",
                                    "level",        "tempo",         "beginner",
                                    "intermediate", "advanced",      "limit",
                                    "limit_tempo",  "second",        "second_tempo",
                                    "third",        "third_tempo",   "easing",
                                    "easing_tempo", "other_surface", "other_surface_tempo"};
enum {
    FILE_NAME,
    NUMBER,
    TITLE,
    LEVEL,
    TEMPO,
    FIRST_LEVEL,
    LIMIT = FIRST_LEVEL + LEVEL_COUNT,
    EASING = LIMIT + 2 * OUTLOOK_LIMITS,
    SURFACE = EASING + 2,
    COLUMNS = SURFACE + 2
};
_Static_assert(sizeof names / sizeof *names == COLUMNS, "each column has a name");

struct outlook_row {
    const char *cells[COLUMNS];
};

static bool is_number(int column)
{
    bool limit_tempo = column >= LIMIT && column < EASING && (column - LIMIT) % 2;
    return column == NUMBER || (column >= TEMPO && column < LIMIT) || limit_tempo ||
           column == EASING + 1 || column == SURFACE + 1;
}

/* ---- rows --------------------------------------------------------------------------------- */

/* In beats of the exercise, not in quarters. */
static const char *tempo_cell(struct arena *arena, const struct score_exercise *exercise,
                              uint32_t tenths)
{
    struct fraction beat = {1, 4};
    if (exercise->bar_count)
        beat = tempo_beat(exercise->bars[0].settings->tempo, exercise->bars[0].meter);
    int64_t beats = fraction_floor(
        fraction_divide(fraction_make(tenths, 4), beat.numerator ? beat : fraction_make(1, 4)));
    return arena_format(arena, "%" PRId64 ".%" PRId64, beats / 10, beats % 10);
}

static const char *verdict_cell(struct arena *arena, const struct score_exercise *exercise,
                                const struct verdict_of_level *verdict)
{
    switch (verdict->kind) {
    case VERDICT_TEMPO:
        return tempo_cell(arena, exercise, verdict->tenths);
    case VERDICT_UNLIMITED:
        return "any";
    case VERDICT_IMPOSSIBLE:
        return "none";
    case VERDICT_UNKNOWN:
        break;
    }
    return "";
}

static const char *clean(struct arena *arena, const char *text)
{
    struct buffer out = {0};
    cells_clean(&out, text, strlen(text));
    text = arena_copy_text(arena, buffer_text(&out), out.length);
    buffer_release(&out);
    return text;
}

/* Fills the cells if this change gains more than the best so far. */
static void add_easing(struct arena *arena, const struct score_exercise *exercise,
                       const struct easing *easing, uint32_t *best, const char *cells[2])
{
    if (easing->tenths <= *best)
        return;
    *best = easing->tenths;
    cells[0] = clean(arena, easing->words);
    cells[1] = tempo_cell(arena, exercise, easing->tenths);
}

static void add_limits(struct arena *arena, const struct score_exercise *exercise,
                       const struct outlook *outlook, struct outlook_row *row)
{
    uint32_t by_hand = 0, by_surface = 0;
    for (size_t i = 0; i < outlook->limit_count; i++) {
        const struct outlook_limit *limit = &outlook->limits_met[i];
        row->cells[LIMIT + 2 * i] = clean(arena, limit->words);
        row->cells[LIMIT + 2 * i + 1] = tempo_cell(arena, exercise, limit->tenths);
        add_easing(arena, exercise, &limit->by_hand, &by_hand, row->cells + EASING);
        add_easing(arena, exercise, &limit->by_surface, &by_surface, row->cells + SURFACE);
    }
}

void outlook_table_add(struct outlook_table *table, const char *file, struct score *score,
                       const struct limits *level)
{
    if (!table->arena)
        table->arena = arena_new();
    struct arena *arena = table->arena;
    for (size_t i = 0; i < score->exercise_count; i++) {
        struct score_exercise *exercise = &score->exercises[i];
        if (!exercise->bar_count && !exercise->sequence)
            continue;
        struct outlook outlook = play_outlook(score, exercise, level);
        struct outlook_row *row = arena_alloc(arena, sizeof *row);
        for (int column = 0; column < COLUMNS; column++)
            row->cells[column] = "";
        row->cells[FILE_NAME] = clean(arena, file);
        row->cells[NUMBER] = arena_format(arena, "%" PRIu32, exercise->number);
        row->cells[TITLE] = clean(arena, exercise->title ? exercise->title : "");
        row->cells[LEVEL] = clean(arena, outlook.limits->name);
        row->cells[TEMPO] = verdict_cell(arena, exercise, &outlook.own);
        for (int l = 0; l < LEVEL_COUNT; l++)
            row->cells[FIRST_LEVEL + l] = verdict_cell(arena, exercise, &outlook.levels[l]);
        add_limits(arena, exercise, &outlook, row);
        *vector_push(&table->rows, arena) = row;
    }
}

void outlook_table_release(struct outlook_table *table)
{
    if (table->arena)
        arena_free(table->arena);
    *table = (struct outlook_table){0};
}

/* ---- text --------------------------------------------------------------------------------- */

/* A limit and its tempo share a column, as do an easing and its tempo. */
static const char *text_cell(struct arena *arena, const char *const cells[COLUMNS], int column)
{
    if (column < LIMIT || !*cells[column])
        return cells[column];
    return arena_format(arena, "%s: %s", cells[column], cells[column + 1]);
}

static void add_line(const char *const *cells, const size_t *widths, size_t count,
                     struct buffer *out)
{
    size_t column = 0, at = 0;
    for (size_t i = 0; i < count; i++) {
        if (*cells[i]) {
            size_t blanks = column > at ? column - at : (at ? 2 : 0);
            buffer_format(out, "%*s%s", (int)blanks, "", cells[i]);
            at += blanks + cells_of_text(cells[i], strlen(cells[i]));
        }
        column += widths[i] + 2;
    }
    buffer_add_text(out, "\n");
}

static void write_text(const struct outlook_table *table, struct buffer *out)
{
    static const int shown[] = {FILE_NAME,   NUMBER,          TITLE,           LEVEL,
                                FIRST_LEVEL, FIRST_LEVEL + 1, FIRST_LEVEL + 2, LIMIT,
                                LIMIT + 2,   LIMIT + 4,       EASING,          SURFACE};
    static const char *const headings[] = {"file",     "no.",          "exercise", "level",
                                           "beginner", "intermediate", "advanced", "limit",
                                           "then",     "then",         "easier",   "or"};
    enum { SHOWN = sizeof shown / sizeof *shown };
    size_t widths[SHOWN];
    struct arena *arena = table->arena;
    const char **lines = arena_array(arena, (table->rows.count + 1) * SHOWN, sizeof *lines);
    for (size_t i = 0; i < SHOWN; i++) {
        widths[i] = 0;
        for (size_t row = 0; row <= table->rows.count; row++) {
            const char *cell =
                row ? text_cell(arena, table->rows.items[row - 1]->cells, shown[i]) : headings[i];
            size_t used = cells_of_text(cell, strlen(cell));
            lines[row * SHOWN + i] = cell;
            if (used > widths[i])
                widths[i] = used < COLUMN_WIDEST ? used : COLUMN_WIDEST;
        }
    }
    for (size_t row = 0; row <= table->rows.count; row++)
        add_line(lines + row * SHOWN, widths, SHOWN, out);
}

/* ---- CSV and JSON ------------------------------------------------------------------------- */

/* RFC 4180: fields with commas, quotes or line ends in quotes, quotes doubled; lines end in CRLF.
 */
static void add_field(const char *text, struct buffer *out)
{
    bool quoted = strpbrk(text, ",\"\r\n");
    if (quoted)
        buffer_add_text(out, "\"");
    for (; *text; text++)
        buffer_format(out, *text == '"' ? "\"\"" : "%c", *text);
    if (quoted)
        buffer_add_text(out, "\"");
}

static void add_record(const char *const *cells, struct buffer *out)
{
    for (int column = 0; column < COLUMNS; column++) {
        if (column)
            buffer_add_text(out, ",");
        add_field(cells[column], out);
    }
    buffer_add_text(out, "\r\n");
}

static void write_csv(const struct outlook_table *table, struct buffer *out)
{
    add_record(names, out);
    for (size_t row = 0; row < table->rows.count; row++)
        add_record(table->rows.items[row]->cells, out);
}

/* "any" and "none" stay words; an empty cell is null, except for a title. */
static json_t *cell_value(const char *cell, int column)
{
    if (!*cell && column != TITLE)
        return json_null();
    if (column == NUMBER)
        return json_integer(strtol(cell, NULL, 10));
    if (is_number(column) && strchr(cell, '.')) {
        const char *point = strchr(cell, '.');
        return json_real((double)(strtoll(cell, NULL, 10) * 10 + (point[1] - '0')) / 10);
    }
    return json_string(cell);
}

static void write_json(const struct outlook_table *table, struct buffer *out)
{
    json_t *list = json_array();
    for (size_t row = 0; row < table->rows.count; row++) {
        json_t *object = json_object();
        for (int column = 0; column < COLUMNS; column++)
            json_object_set_new(object, names[column],
                                cell_value(table->rows.items[row]->cells[column], column));
        json_array_append_new(list, object);
    }
    json_t *document = json_object();
    json_object_set_new(document, "exercises", list);
    report_json_write(document, out);
    json_decref(document);
}

void outlook_table_write(const struct outlook_table *table, enum outlook_form form,
                         struct buffer *out)
{
    if (form == OUTLOOK_CSV)
        write_csv(table, out);
    else if (form == OUTLOOK_JSON)
        write_json(table, out);
    else if (form == OUTLOOK_TEXT && table->rows.count)
        write_text(table, out);
}
