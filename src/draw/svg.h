#ifndef RATAMARK_DRAW_SVG_H
#define RATAMARK_DRAW_SVG_H
/* What cairo's SVG lacks: to be the same bytes on every run, and a title. */
#include "base/buffer.h"
#include "draw/sink.h"

/*
 * Writes cairo's SVG `document` to the sink: group names that cairo counts through the whole
 * process ("surface17") are counted through the document, and a <title> is put first in it (NULL:
 * none). `document` must hold no text of a lesson, as cairo's, which draws letters as outlines.
 */
void svg_write(const struct buffer *document, const char *title, struct sink *sink);

#endif
