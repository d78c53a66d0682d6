#include "base/utf8.h"
#include "read/read_int.h"

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

bool reader_count_items(struct reader *reader, size_t more, struct place at)
{
    bool fits = !reader->items_over && more <= LESSON_STROKES_MAX - reader->items;
    if (fits) {
        reader->items += more;
        return true;
    }
    if (!reader->items_over) {
        diag_add(reader->diags, DIAG_LIMIT, at, "more than %d strokes, notes and voice words",
                 LESSON_STROKES_MAX);
        diag_expected(reader->diags, "a lesson in several files");
    }
    reader->items_over = true;
    return false;
}
