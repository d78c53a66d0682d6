#ifndef RATAMARK_DRAW_BYTE_SINK_H
#define RATAMARK_DRAW_BYTE_SINK_H
/* Where a drawing's bytes go: gathers cairo's many small pieces before it calls the writer, and
   remembers the first failure. */
#include "draw/draw.h"

#include <cairo.h>

enum { SINK_ROOM = 32 * 1024 };

struct sink {
    draw_write *write;
    void *closure;
    bool failed; /* sticky: nothing is written any more */
    size_t used;
    unsigned char room[SINK_ROOM];
};

void sink_add(struct sink *sink, const void *bytes, size_t length);
/* Hands on what is gathered. False when anything failed since the beginning. */
bool sink_flush(struct sink *sink);

/* For cairo: `closure` is the sink. */
cairo_status_t sink_write(void *closure, const unsigned char *bytes, unsigned int length);

#endif
