#include "course/html_text.h"

#include "base/cells.h"

#include <string.h>

void html_text(struct buffer *out, const char *text)
{
    struct buffer clean = {0};
    cells_clean(&clean, text, strlen(text));
    buffer_add_escaped(out, buffer_text(&clean));
    buffer_release(&clean);
}

static int is_plain(unsigned char byte)
{
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
           (byte >= '0' && byte <= '9') || (byte && strchr("-._~/", byte));
}

void html_address(struct buffer *out, const char *path)
{
    for (const char *at = path; *at; at++) {
        unsigned char byte = (unsigned char)*at;
        if (is_plain(byte))
            buffer_add(out, at, 1);
        else
            buffer_format(out, "%%%02X", byte);
    }
}
