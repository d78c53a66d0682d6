#include "course/made_message.h"

#include <string.h>

/* A message is its length, the structure, its outputs, the text of each place, and what to print.
   The pointers in it mean nothing to the receiver, who replaces them. */

void message_add(struct buffer *out, const struct made_lesson *made)
{
    uint64_t length = 0;
    size_t start = out->length;
    buffer_add(out, &length, sizeof length);
    buffer_add(out, made, sizeof *made);
    if (made->count)
        buffer_add(out, made->outputs, made->count * sizeof *made->outputs);
    for (size_t i = 0; i < made->count; i++)
        buffer_add(out, made->outputs[i].path, strlen(made->outputs[i].path) + 1);
    buffer_add(out, buffer_text(&made->messages), made->messages.length);
    length = out->length - start;
    memcpy(out->bytes + start, &length, sizeof length);
}

size_t message_length(const struct buffer *in)
{
    uint64_t length = 0;
    if (in->length >= sizeof length)
        memcpy(&length, in->bytes, sizeof length);
    return (size_t)length;
}

void message_take(struct buffer *in, struct made_lesson *made)
{
    const size_t length = message_length(in);
    const char *at = in->bytes + sizeof(uint64_t);
    memcpy(made, at, sizeof *made);
    at += sizeof *made;
    made->arena = arena_new_small();
    made->outputs = arena_array(made->arena, made->count, sizeof *made->outputs);
    if (made->count)
        memcpy(made->outputs, at, made->count * sizeof *made->outputs);
    at += made->count * sizeof *made->outputs;
    for (size_t i = 0; i < made->count; i++) {
        size_t path = strlen(at);
        made->outputs[i].path = arena_copy_text(made->arena, at, path);
        at += path + 1;
    }
    made->messages = (struct buffer){0};
    buffer_add(&made->messages, at, (size_t)(in->bytes + length - at));
    in->length -= length;
    memmove(in->bytes, in->bytes + length, in->length);
}
