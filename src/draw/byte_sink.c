#include "draw/byte_sink.h"

enum { GATHERED_MOST = 32 * 1024 };

static void flush(struct sink *sink)
{
    if (!sink->failed && sink->gathered.length)
        sink->failed = !sink->write(sink->closure, sink->gathered.bytes, sink->gathered.length);
    sink->gathered.length = 0;
}

void sink_add(struct sink *sink, const void *bytes, size_t length)
{
    buffer_add(&sink->gathered, bytes, length);
    if (sink->gathered.length > GATHERED_MOST)
        flush(sink);
}

bool sink_close(struct sink *sink)
{
    flush(sink);
    buffer_release(&sink->gathered);
    return !sink->failed;
}

cairo_status_t sink_write(void *closure, const unsigned char *bytes, unsigned int length)
{
    struct sink *sink = closure;
    sink_add(sink, bytes, length);
    return sink->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}
