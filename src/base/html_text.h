#ifndef RATAMARK_BASE_HTML_TEXT_H
#define RATAMARK_BASE_HTML_TEXT_H
/* Text from lessons in an HTML page. */
#include "base/buffer.h"

/* Adds text escaped for use between tags and inside double quotes. Control characters, overrides of
   direction and bytes that are not UTF-8 become U+FFFD. */
void html_text(struct buffer *out, const char *text);

#endif
