#include "console/mend.h"

#include "base/utf8.h"

#include <string.h>

static const char byte_order_mark[] = "\xEF\xBB\xBF";

size_t source_offset(struct read_source source, struct place place)
{
    const char *at = source.bytes, *end = source.bytes + source.length;
    if (!at || !place.file || strcmp(place.file, source.name) != 0 || !place.line)
        return SIZE_MAX;
    if (source_has(source, 0, byte_order_mark))
        at += strlen(byte_order_mark);
    for (uint32_t line = 1; line < place.line && at; line++) {
        at = memchr(at, '\n', (size_t)(end - at));
        at = at ? at + 1 : NULL;
    }
    for (uint32_t column = 1; column < place.column && at && at < end; column++) {
        uint32_t code_point;
        size_t bytes = utf8_decode(at, (size_t)(end - at), &code_point);
        at += bytes ? bytes : 1;
    }
    return at && at < end ? (size_t)(at - source.bytes) : SIZE_MAX;
}

bool source_has(struct read_source source, size_t offset, const char *letters)
{
    size_t length = strlen(letters);
    return offset <= source.length && length <= source.length - offset &&
           memcmp(source.bytes + offset, letters, length) == 0;
}

bool mend_is_sure(struct read_source source, const struct diag *diag)
{
    return diag->sure && diag->found &&
           source_has(source, source_offset(source, diag->at), diag->found);
}

size_t mend_source(struct read_source source, const struct diags *diags, struct buffer *out,
                   struct buffer *said)
{
    size_t count = 0, copied = 0;
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *diag = diags_get(diags, i);
        if (!mend_is_sure(source, diag))
            continue;
        size_t offset = source_offset(source, diag->at);
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
