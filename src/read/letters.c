#include "base/utf8.h"
#include "read/read_int.h"

#include <string.h>

bool read_number(const char *text, size_t length, size_t *offset, uint32_t *number)
{
    size_t i = *offset;
    uint32_t value = 0;
    for (; i < length && is_digit(text[i]); i++) {
        if (i - *offset == 9)
            return false;
        value = value * 10 + (uint32_t)(text[i] - '0');
    }
    if (i == *offset)
        return false;
    *offset = i;
    *number = value;
    return true;
}

bool text_is_number(const char *text, size_t length, uint32_t least, uint32_t most,
                    uint32_t *number)
{
    size_t offset = 0;
    return read_number(text, length, &offset, number) && offset == length && *number >= least &&
           *number <= most;
}

uint32_t characters(const char *bytes, size_t length)
{
    return (uint32_t)utf8_count(bytes, length);
}

/* A copy fit to be shown in a message. */
static const char *show(struct reader *reader, const char *bytes, size_t length)
{
    enum { SHOWN = 40 };
    size_t end = length < SHOWN ? length : SHOWN;
    while (end < length && end > 0 && ((unsigned char)bytes[end] & 0xC0) == 0x80)
        end--;
    char *shown = arena_format(reader->arena, "%.*s%s", (int)end, bytes, end < length ? "..." : "");
    for (char *byte = shown; *byte; byte++)
        if (*byte == '\n')
            *byte = ' ';
    return shown;
}

void report_stretch(struct reader *reader, enum diag_code code, struct place at, const char *bytes,
                    size_t length, const char *message, const char *expected)
{
    struct diags *diags = reader->diags;
    if (!diags_have_room(diags, at.file)) {
        diag_add(diags, code, at, "%s", message); /* only counted */
        return;
    }
    const char *shown = show(reader, bytes, length);
    diag_add(diags, code, at, "%s: '%s'", message, shown);
    diag_found(diags, shown);
    diag_expected(diags, "%s", expected);
}

void *reader_keep(struct reader *reader, const void *items, size_t count, size_t size)
{
    void *kept = arena_array_room(reader->arena, count, size);
    if (count)
        memcpy(kept, items, count * size);
    return kept;
}

bool reader_count_items(struct reader *reader, size_t more, struct place at)
{
    bool fits = !reader->items_over && more <= LESSON_STROKES_MAX - reader->items;
    if (fits) {
        reader->items += more;
        return true;
    }
    if (!reader->items_over) {
        diag_add(reader->diags, DIAG_LIMIT, at, "more than %d strokes, notes and voices",
                 LESSON_STROKES_MAX);
        diag_expected(reader->diags, "a lesson split into several files");
    }
    reader->items_over = true;
    return false;
}
