#include "console/mend.h"

#include "base/utf8.h"

#include <string.h>

static const char byte_order_mark[] = "\xEF\xBB\xBF";

static void go_to_line(struct source_cursor *cursor, struct read_source source, uint32_t line)
{
    if (cursor->line == 0 || line < cursor->line) {
        size_t mark = source_has(source, 0, byte_order_mark) ? strlen(byte_order_mark) : 0;
        *cursor = (struct source_cursor){.line = 1, .line_start = mark};
    }
    for (; cursor->line < line && cursor->line_start < source.length; cursor->line++) {
        const char *start = source.bytes + cursor->line_start;
        const char *end = memchr(start, '\n', source.length - cursor->line_start);
        cursor->line_start = end ? (size_t)(end + 1 - source.bytes) : source.length;
    }
    cursor->column = 1;
    cursor->offset = cursor->line_start;
}

size_t source_cursor_offset(struct source_cursor *cursor, struct read_source source,
                            struct place place)
{
    if (!source.bytes || !place.file || strcmp(place.file, source.name) != 0 || !place.line)
        return SIZE_MAX;
    if (place.line != cursor->line || place.column < cursor->column)
        go_to_line(cursor, source, place.line);
    for (; cursor->column < place.column && cursor->offset < source.length; cursor->column++) {
        uint32_t code_point;
        size_t bytes =
            utf8_decode(source.bytes + cursor->offset, source.length - cursor->offset, &code_point);
        cursor->offset += bytes ? bytes : 1;
    }
    return cursor->offset < source.length ? cursor->offset : SIZE_MAX;
}

size_t source_offset(struct read_source source, struct place place)
{
    struct source_cursor cursor = {0};
    return source_cursor_offset(&cursor, source, place);
}

bool source_has(struct read_source source, size_t offset, const char *letters)
{
    size_t length = strlen(letters);
    return offset <= source.length && length <= source.length - offset &&
           memcmp(source.bytes + offset, letters, length) == 0;
}

/* The same by a cursor that goes through the findings in text order. */
static bool find_mend(struct source_cursor *cursor, struct read_source source,
                      const struct diag *diag, struct place *at)
{
    if (!diag->sure || !diag->found)
        return false;
    size_t offset = source_cursor_offset(cursor, source, diag->at);
    bool quoted = source_has(source, offset, "\"") || source_has(source, offset, "'");
    *at =
        place_at(diag->at, quoted ? 1 : 0, (uint32_t)utf8_count(diag->found, strlen(diag->found)));
    return offset != SIZE_MAX && source_has(source, offset + quoted, diag->found);
}

bool mend_is_sure(struct read_source source, const struct diag *diag, struct place *at)
{
    struct source_cursor cursor = {0};
    return find_mend(&cursor, source, diag, at);
}

size_t mend_source(struct read_source source, const struct diags *diags, struct buffer *out,
                   struct buffer *said)
{
    struct source_cursor finder = {0}, cursor = {0};
    size_t count = 0, copied = 0;
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        struct place at;
        if (!find_mend(&finder, source, diag, &at))
            continue;
        size_t offset = source_cursor_offset(&cursor, source, at);
        if (offset < copied)
            continue; /* two findings about one word */
        buffer_add(out, source.bytes + copied, offset - copied);
        buffer_add_text(out, diag->nearest);
        copied = offset + strlen(diag->found);
        buffer_format(said, "%u:%u: '%s' becomes '%s'\n", (unsigned)at.line, (unsigned)at.column,
                      diag->found, diag->nearest);
        count++;
    }
    buffer_add(out, source.bytes + copied, source.length - copied);
    return count;
}
