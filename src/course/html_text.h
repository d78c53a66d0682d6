#ifndef RATAMARK_COURSE_HTML_TEXT_H
#define RATAMARK_COURSE_HTML_TEXT_H
/* Text of others in a page of HTML: as text or attribute, and as a link's address. */
#include "base/buffer.h"

/* Adds text so that it is only text, between tags and between double quotes alike. Control
   characters, overrides of direction and bytes that are no UTF-8 become U+FFFD. */
void html_text(struct buffer *out, const char *text);

/* Adds a path below the page's folder as a relative address: every byte but letters, digits and
   `-._~/` by its number (RFC 3986), so that it can name no other host, scheme or query. */
void html_address(struct buffer *out, const char *path);

#endif
