#include "read/reader_int.h"

const char *joined_words(struct reader *reader, const char *const *words, size_t count)
{
    const char *list = words[0];
    for (size_t i = 1; i < count; i++)
        list =
            arena_format(reader->scratch, "%s%s%s", list, i + 1 == count ? " or " : ", ", words[i]);
    return list;
}

bool reader_count(struct reader *reader, size_t *count, bool *over, size_t more, size_t most,
                  const char *noun, struct place at)
{
    if (!*over && more <= most - *count) {
        *count += more;
        return true;
    }
    if (!*over) {
        diag_add(reader->diags, DIAG_LIMIT, at, "more than %zu %s", most, noun);
        diag_expected(reader->diags, "a lesson split into several files");
    }
    *over = true;
    return false;
}

bool reader_count_items(struct reader *reader, size_t more, struct place at)
{
    return reader_count(reader, &reader->items, &reader->items_over, more, LESSON_STROKES_MAX,
                        "strokes, notes and voices", at);
}

int quoted_length(const char *bytes, size_t length)
{
    size_t end = length < QUOTED_MAX ? length : QUOTED_MAX;
    while (end < length && end > 0 && ((unsigned char)bytes[end] & 0xC0) == 0x80)
        end--; /* not in the middle of a character */
    return (int)end;
}

const char *report_unknown(struct reader *reader, enum diag_code code, struct place at,
                           const char *message, const char *name, size_t length)
{
    diag_add(reader->diags, code, at, "%s '%.*s%s'", message, QUOTED(name, length));
    if (!diag_listed(reader->diags))
        return NULL;
    const char *wrong = arena_copy_text(reader->arena, name, length);
    diag_found(reader->diags, length > QUOTED_MAX ? arena_format(reader->arena, "%.*s...",
                                                                 quoted_length(name, length), name)
                                                  : wrong);
    return wrong;
}
