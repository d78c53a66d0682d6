#ifndef RATAMARK_COURSE_HTML_TEXT_H
#define RATAMARK_COURSE_HTML_TEXT_H
/* Text from lessons in an HTML page: as text or attribute, and as the address of a link. */
#include "base/buffer.h"

/* Adds text escaped for use between tags and inside double quotes. Control characters, overrides of
   direction and bytes that are not UTF-8 become U+FFFD. */
void html_text(struct buffer *out, const char *text);

/* Adds a path below the page's folder as a relative address. All bytes except letters, digits and
   `-._~/` are percent-encoded (RFC 3986), so it cannot name another host, scheme or query. */
void html_address(struct buffer *out, const char *path);

#endif
