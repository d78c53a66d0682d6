#include "base/html_text.h"

#include "base/cells.h"

#include <string.h>

void html_text(struct buffer *out, const char *text)
{
    struct buffer clean = {0};
    cells_clean(&clean, text, strlen(text));
    buffer_add_escaped(out, buffer_text(&clean));
    buffer_release(&clean);
}
