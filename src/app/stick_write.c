#include "app/stick_write.h"

#include "base/table.h"
#include "base/vector.h"
#include "console/mend.h"

#include <stdlib.h>
#include <string.h>

/* Replaces `length` bytes at `offset` by `text`. */
struct edit {
    size_t offset, length;
    const char *text;
};

struct stick_writer {
    struct read_source source;
    const struct lesson *lesson;
    struct arena *arena;
    VECTOR(struct edit) edits;
    struct table by_offset;
    struct source_cursor cursor;
};

struct stick_writer *stick_writer_new(struct read_source source, const struct lesson *lesson,
                                      struct arena *arena)
{
    struct stick_writer *writer = arena_alloc(arena, sizeof *writer);
    *writer = (struct stick_writer){.source = source, .lesson = lesson, .arena = arena};
    return writer;
}

/* ---- lines -------------------------------------------------------------------------------- */

static const char *line_end(const struct stick_writer *writer)
{
    const char *newline = memchr(writer->source.bytes, '\n', writer->source.length);
    return newline && newline > writer->source.bytes && newline[-1] == '\r' ? "\r\n" : "\n";
}

/* Reading `lead: left` swaps the hands; `written` swaps them back. */
static char letter_of(const struct score_exercise *exercise, const struct hand_row *row,
                      const struct hand_event *event, bool written)
{
    char letter = hands_letter(row, event);
    if (!written || !exercise->mirrored || letter == 'B')
        return letter;
    return letter == 'R' ? 'L' : 'R';
}

void stick_bar(struct stick_walk *walk, size_t index, struct buffer *out)
{
    const struct score_bar *bar = &walk->exercise->bars[index];
    const struct score_line *line = &bar->lines[LINE_HANDS];
    bool again = bar->signs && bar->signs->same;
    for (uint32_t i = 0; i < line->leaf_count && !again; i++) {
        const struct note *note = line->leaves[i].note;
        if (!leaf_struck(&line->leaves[i]))
            continue;
        const struct hand_event *event = &walk->row->events[walk->event];
        bool here = walk->event < walk->row->count && event->note == note;
        char letter = here ? letter_of(walk->exercise, walk->row, event, walk->written) : 'R';
        walk->event += here;
        if (walk->wanted && !walk->wanted(note, walk->closure)) {
            walk->expected = note->number + 1;
            continue;
        }
        bool beat = walk->last_bar != bar || line->leaves[i].beat != walk->last_beat;
        if (out->length && beat)
            buffer_add_text(out, walk->last_bar == bar ? " " : " | ");
        for (; walk->expected < note->number; walk->expected++)
            buffer_add_text(out, "R");
        buffer_add(out, &letter, 1);
        walk->expected = note->number + 1;
        walk->last_bar = bar;
        walk->last_beat = line->leaves[i].beat;
    }
}

static bool is_open(const struct note *note, const void *closure)
{
    (void)closure;
    return !note->letter;
}

static bool asked_here(const struct note *note, const void *closure)
{
    const struct place *at = closure;
    return (note->proposed & NOTE_ASKED) && note->at.line == at->line &&
           note->at.column == at->column;
}

static const char *keep_line(struct stick_writer *writer, const struct score_exercise *exercise,
                             const struct hand_row *row, stick_wanted *wanted, const void *closure)
{
    struct buffer line = {0};
    struct stick_walk walk = {
        .exercise = exercise, .row = row, .written = true, .wanted = wanted, .closure = closure};
    for (size_t bar = 0; bar < exercise->bar_count; bar++)
        stick_bar(&walk, bar, &line);
    return buffer_keep(&line, writer->arena);
}

/* ---- edits -------------------------------------------------------------------------------- */

static struct edit *edit_at(struct stick_writer *writer, size_t offset)
{
    struct table_search search = table_search(&writer->by_offset, hash_number(offset));
    for (size_t i; table_next(&search, &i);)
        if (writer->edits.items[i].offset == offset)
            return &writer->edits.items[i];
    return NULL;
}

static void add_edit(struct stick_writer *writer, size_t offset, size_t length, const char *text)
{
    table_add(&writer->by_offset, hash_number(offset), writer->edits.count, writer->arena);
    *vector_push(&writer->edits, writer->arena) = (struct edit){offset, length, text};
}

/* Adds a key `sticking` before the first key of the exercise. */
static bool insert_key(struct stick_writer *writer, const struct score_exercise *exercise,
                       const struct hand_row *row, struct buffer *problem)
{
    struct place at = exercise->source->at;
    size_t offset = source_offset(writer->source, at);
    const char *line = keep_line(writer, exercise, row, is_open, NULL);
    if (offset == SIZE_MAX) {
        buffer_format(problem, "the exercise is not in this file");
        return false;
    }
    if (writer->source.bytes[offset] == '{') {
        bool empty = source_has(writer->source, offset, "{}");
        add_edit(writer, offset + 1, 0,
                 arena_format(writer->arena, "sticking: %s%s", line, empty ? "" : ", "));
    } else {
        add_edit(writer, offset, 0,
                 arena_format(writer->arena, "sticking: %s%s%*s", line, line_end(writer),
                              (int)at.column - 1, ""));
    }
    return true;
}

/* A letter for `?`. The same `?` may stand for several strokes. */
static bool replace_letter(struct stick_writer *writer, size_t offset, char letter,
                           struct buffer *problem)
{
    const struct edit *known = edit_at(writer, offset);
    if (known && known->text[0] == letter)
        return true;
    if (known) {
        buffer_format(problem, "its sticking repeats, and one ? would need both hands; write it "
                               "out for every bar");
        return false;
    }
    add_edit(writer, offset, 1, arena_format(writer->arena, "%c", letter));
    return true;
}

static bool add_event(struct stick_writer *writer, const struct score_exercise *exercise,
                      const struct hand_row *row, const struct hand_event *event, bool *inserted,
                      struct buffer *problem)
{
    const struct note *note = event->note;
    const struct stroke_line *whole = writer->lesson->settings.sticking;
    bool asked = note->proposed & NOTE_ASKED;
    bool own = asked && !(whole && exercise->source->settings.sticking == whole &&
                          note->at.line == whole->at.line && note->at.column == whole->at.column);
    if (!own) {
        bool done = *inserted || insert_key(writer, exercise, row, problem);
        *inserted = true;
        return done;
    }
    size_t offset = source_cursor_offset(&writer->cursor, writer->source, note->at);
    if (offset != SIZE_MAX && source_has(writer->source, offset, "?"))
        return replace_letter(writer, offset, letter_of(exercise, row, event, true), problem);
    size_t quotes = offset != SIZE_MAX && strchr("'\"", writer->source.bytes[offset]) ? 1 : 0;
    if (offset != SIZE_MAX && source_has(writer->source, offset + quotes, "auto")) {
        if (!edit_at(writer, offset + quotes))
            add_edit(writer, offset + quotes, 4,
                     keep_line(writer, exercise, row, asked_here, &note->at));
        return true;
    }
    buffer_format(problem, "its sticking is in a pattern or in another file");
    return false;
}

bool stick_writer_add(struct stick_writer *writer, const struct score_exercise *exercise,
                      const struct hand_row *row, struct buffer *problem)
{
    bool inserted = false;
    for (size_t i = 0; i < row->count; i++)
        if (!row->events[i].note->letter && !(row->events[i].note->proposed & NOTE_KEYED) &&
            !add_event(writer, exercise, row, &row->events[i], &inserted, problem))
            return false;
    return true;
}

static int compare_edits(const void *a, const void *b)
{
    const struct edit *left = a, *right = b;
    return (left->offset > right->offset) - (left->offset < right->offset);
}

void stick_writer_text(const struct stick_writer *writer, struct buffer *out)
{
    size_t at = 0;
    if (writer->edits.count)
        qsort(writer->edits.items, writer->edits.count, sizeof *writer->edits.items, compare_edits);
    for (size_t i = 0; i < writer->edits.count; i++) {
        const struct edit *edit = &writer->edits.items[i];
        buffer_add(out, writer->source.bytes + at, edit->offset - at);
        buffer_add_text(out, edit->text);
        at = edit->offset + edit->length;
    }
    buffer_add(out, writer->source.bytes + at, writer->source.length - at);
}
