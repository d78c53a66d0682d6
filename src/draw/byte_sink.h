#ifndef RATAMARK_DRAW_BYTE_SINK_H
#define RATAMARK_DRAW_BYTE_SINK_H
/* Where a drawing's bytes go: gathers cairo's many small pieces before it calls the writer, and
   remembers the first failure. */
#include "base/buffer.h"
#include "draw/draw.h"

#include <cairo.h>

struct sink {
    draw_write *write;
    void *closure;
    bool failed; /* nothing more is written */
    struct buffer gathered;
};

void sink_add(struct sink *sink, const void *bytes, size_t length);
/* Writes the rest. False when anything failed since the beginning. */
bool sink_close(struct sink *sink);

/* For cairo: `closure` is the sink. */
cairo_status_t sink_write(void *closure, const unsigned char *bytes, unsigned int length);

#endif
