#include "course/made_message.h"

#include <string.h>

struct wire_head {
    uint64_t length; /* of the whole message */
    enum status status;
    bool was_read;
    struct digest digest;
    struct file_stamp stamp;
    uint64_t outputs, told;
};

struct wire_output {
    struct digest digest;
    struct file_stamp stamp;
    uint64_t place;
};

void message_add(struct buffer *out, const struct made_lesson *made)
{
    struct wire_head head;
    memset(&head, 0, sizeof head);
    head.status = made->status;
    head.was_read = made->was_read;
    head.digest = made->digest;
    head.stamp = made->stamp;
    head.outputs = made->count;
    head.told = made->told.length;
    size_t start = out->length;
    buffer_add(out, &head, sizeof head);
    for (size_t i = 0; i < made->count; i++) {
        const struct made_file *output = &made->outputs[i];
        struct wire_output part = {output->digest, output->stamp, strlen(output->place)};
        buffer_add(out, &part, sizeof part);
        buffer_add(out, output->place, part.place);
    }
    buffer_add(out, buffer_text(&made->told), made->told.length);
    head.length = out->length - start;
    memcpy(out->bytes + start, &head, sizeof head);
}

size_t message_length(const struct buffer *in)
{
    uint64_t length = 0;
    if (in->length >= sizeof(struct wire_head))
        memcpy(&length, in->bytes, sizeof length);
    return (size_t)length;
}

void message_take(struct buffer *in, struct made_lesson *made)
{
    struct wire_head head;
    const char *at = in->bytes;
    memcpy(&head, at, sizeof head);
    at += sizeof head;
    *made = (struct made_lesson){.status = head.status,
                                 .was_read = head.was_read,
                                 .digest = head.digest,
                                 .stamp = head.stamp,
                                 .count = head.outputs,
                                 .arena = arena_new_small()};
    made->outputs = arena_array(made->arena, made->count, sizeof *made->outputs);
    for (size_t i = 0; i < made->count; i++) {
        struct wire_output part;
        memcpy(&part, at, sizeof part);
        at += sizeof part;
        made->outputs[i] = (struct made_file){arena_copy_text(made->arena, at, part.place),
                                              part.digest, part.stamp};
        at += part.place;
    }
    buffer_add(&made->told, at, head.told);
    in->length -= head.length;
    memmove(in->bytes, in->bytes + head.length, in->length);
}
