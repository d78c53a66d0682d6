#include "console/mend.h"

#include "base/utf8.h"

#include <string.h>

/* Where a place is in the text; the text's length if it is not there. */
static size_t offset_of(struct read_source source, struct place place)
{
    const char *at = source.bytes, *end = source.bytes + source.length;
    for (uint32_t line = 1; line < place.line && at; line++) {
        at = memchr(at, '\n', (size_t)(end - at));
        at = at ? at + 1 : NULL;
    }
    for (uint32_t column = 1; column < place.column && at && at < end; column++) {
        uint32_t code_point;
        size_t bytes = utf8_decode(at, (size_t)(end - at), &code_point);
        at += bytes ? bytes : 1;
    }
    return at ? (size_t)(at - source.bytes) : source.length;
}

static bool stands_at(struct read_source source, size_t offset, const char *text)
{
    size_t length = strlen(text);
    return length <= source.length - offset && memcmp(source.bytes + offset, text, length) == 0;
}

bool mend_is_sure(struct read_source source, const struct diag *diag)
{
    return diag->sure && diag->found && diag->at.line && source.bytes &&
           strcmp(diag->at.file, source.name) == 0 &&
           stands_at(source, offset_of(source, diag->at), diag->found);
}

size_t mend_source(struct read_source source, const struct diags *diags, struct buffer *out,
                   struct buffer *said)
{
    size_t count = 0, copied = 0;
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        if (!mend_is_sure(source, diag))
            continue;
        size_t offset = offset_of(source, diag->at);
        if (offset < copied)
            continue; /* two findings about one word */
        buffer_add(out, source.bytes + copied, offset - copied);
        buffer_add_text(out, diag->nearest);
        copied = offset + strlen(diag->found);
        buffer_format(said, "%u:%u: '%s' becomes '%s'\n", (unsigned)diag->at.line,
                      (unsigned)diag->at.column, diag->found, diag->nearest);
        count++;
    }
    buffer_add(out, source.bytes + copied, source.length - copied);
    return count;
}
