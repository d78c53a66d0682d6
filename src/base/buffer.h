#ifndef RATAMARK_BASE_BUFFER_H
#define RATAMARK_BASE_BUFFER_H
/* A growing string of bytes on the heap, with a NUL after its end: `struct buffer out = {0};`. */
#include "base/arena.h"

#include <stddef.h>

struct buffer {
    char *bytes; /* NULL while empty */
    size_t length, room;
};

void buffer_add(struct buffer *buffer, const void *bytes, size_t length);
void buffer_add_text(struct buffer *buffer, const char *text);
/* Escapes the text for XML and HTML: between tags, or in double quotes. */
void buffer_add_escaped(struct buffer *buffer, const char *text);
/* Adds a path as an address. All bytes except letters, digits and `-._~/` are percent-encoded (RFC
   3986, 2.1), so it cannot name another host, scheme or query. */
void buffer_add_uri(struct buffer *buffer, const char *path);
void buffer_format(struct buffer *buffer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* The text so far, "" while empty; valid until the next change. */
const char *buffer_text(const struct buffer *buffer);
/* Frees the bytes; the buffer is empty and usable again. */
void buffer_release(struct buffer *buffer);
/* Copies the text to the arena, returns the copy, and releases the buffer. */
char *buffer_keep(struct buffer *buffer, struct arena *arena);

#endif
