#include "base/buffer.h"

#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void make_room(struct buffer *buffer, size_t more)
{
    size_t wanted = buffer->length + more + 1;
    if (wanted <= buffer->room)
        return;
    size_t room = buffer->room ? buffer->room : 64;
    while (room < wanted)
        room *= 2;
    buffer->bytes = memory_resize(buffer->bytes, room);
    buffer->room = room;
}

void buffer_add(struct buffer *buffer, const void *bytes, size_t length)
{
    make_room(buffer, length);
    if (length)
        memcpy(buffer->bytes + buffer->length, bytes, length);
    buffer->length += length;
    buffer->bytes[buffer->length] = '\0';
}

void buffer_add_text(struct buffer *buffer, const char *text)
{
    buffer_add(buffer, text, strlen(text));
}

void buffer_add_escaped(struct buffer *buffer, const char *text)
{
    for (; *text; text++) {
        const char *entity = *text == '&'   ? "&amp;"
                             : *text == '<' ? "&lt;"
                             : *text == '>' ? "&gt;"
                             : *text == '"' ? "&quot;"
                                            : NULL;
        if (entity)
            buffer_add_text(buffer, entity);
        else
            buffer_add(buffer, text, 1);
    }
}

/* Formats into the room that there is, and once more if that was too small. */
void buffer_add_uri(struct buffer *buffer, const char *path)
{
    static const char plain[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    for (size_t length; *path; path += length) {
        length = strspn(path, plain);
        buffer_add(buffer, path, length);
        if (path[length])
            buffer_format(buffer, "%%%02X", (unsigned)(unsigned char)path[length++]);
    }
}

void buffer_format(struct buffer *buffer, const char *format, ...)
{
    make_room(buffer, 1);
    for (;;) {
        size_t left = buffer->room - buffer->length;
        va_list arguments;
        va_start(arguments, format);
        int length = vsnprintf(buffer->bytes + buffer->length, left, format, arguments);
        va_end(arguments);
        if (length >= 0 && (size_t)length < left) {
            buffer->length += (size_t)length;
            return;
        }
        buffer->bytes[buffer->length] = '\0';
        if (length < 0)
            return;
        make_room(buffer, (size_t)length);
    }
}

const char *buffer_text(const struct buffer *buffer)
{
    return buffer->bytes ? buffer->bytes : "";
}

void buffer_release(struct buffer *buffer)
{
    memory_free(buffer->bytes);
    *buffer = (struct buffer){0};
}

char *buffer_keep(struct buffer *buffer, struct arena *arena)
{
    char *kept = arena_copy_text(arena, buffer_text(buffer), buffer->length);
    buffer_release(buffer);
    return kept;
}
