#include "draw/byte_sink.h"

#include <string.h>

static void hand_on(struct sink *sink, const void *bytes, size_t length)
{
    if (!sink->failed && length && !sink->write(sink->closure, bytes, length))
        sink->failed = true;
}

bool sink_flush(struct sink *sink)
{
    hand_on(sink, sink->room, sink->used);
    sink->used = 0;
    return !sink->failed;
}

void sink_add(struct sink *sink, const void *bytes, size_t length)
{
    if (length > SINK_ROOM - sink->used)
        sink_flush(sink);
    if (length > SINK_ROOM) {
        hand_on(sink, bytes, length);
        return;
    }
    memcpy(sink->room + sink->used, bytes, length);
    sink->used += length;
}

cairo_status_t sink_write(void *closure, const unsigned char *bytes, unsigned int length)
{
    struct sink *sink = closure;
    sink_add(sink, bytes, length);
    return sink->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}
