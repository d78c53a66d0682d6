#ifndef RATAMARK_DRAW_SVG_H
#define RATAMARK_DRAW_SVG_H
/* What cairo's SVG lacks: to be the same bytes on every run, and a title. */
#include "base/buffer.h"
#include "draw/byte_sink.h"

/* A part of the picture that is more than its ink: a box in points, a name and a text. */
struct svg_figure {
    double x, y, width, height;
    uint32_t exercise; /* index: its id */
    const char *title, *text;
};

/* What the page says to who does not see it. Texts may be NULL. */
struct svg_words {
    const char *language; /* of the document, BCP 47 */
    const char *title, *text;
    const struct svg_figure *figures;
    size_t figure_count;
    const char *figure_language; /* of most of their texts, where it is another; else NULL */
};

/*
 * Writes cairo's SVG `document` to the sink: group names that cairo counts through the whole
 * process ("surface17") are counted through the document. What cairo drew is hidden from screen
 * readers, which are given a <title> and a <desc> of the whole and, behind the drawing, one image
 * an exercise with a <title> and a <desc> of its own: the root is a document, as the parts of an
 * image are not told apart (WAI-ARIA 1.2, children presentational). `document` must hold no text of
 * a lesson, as cairo's, which draws letters as outlines.
 */
void svg_write(const struct buffer *document, const struct svg_words *words, struct sink *sink);

#endif
