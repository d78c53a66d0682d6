#ifndef RATAMARK_DRAW_SVG_H
#define RATAMARK_DRAW_SVG_H
/* What cairo's SVG lacks: the same bytes on every run, and words for screen readers. */
#include "base/buffer.h"
#include "draw/alt_words.h"
#include "draw/byte_sink.h"

/* What the page says to those who do not see it. */
struct svg_words {
    const char *title, *text;          /* of the page; NULL: none */
    const struct drawing_words *words; /* NULL: the title is all there is */
    struct page_parts parts;           /* with words: the exercises on the page */
    double scale;                      /* points in a thousandth of a space */
};

/*
 * Writes cairo's SVG `document` to the sink. Cairo counts the names of groups ("surface17") through
 * the whole process; here they count through the document. What cairo drew is hidden from screen
 * readers. They get a <title> and a <desc> of the whole and, behind the drawing, one image for each
 * exercise with a <title> and a <desc> of its own. The root is a document, as the parts of an image
 * are not told apart (WAI-ARIA 1.2, children presentational). `document` must hold no text of a
 * lesson; cairo's holds none, as it draws letters as outlines.
 */
void svg_write(const struct buffer *document, const struct svg_words *words, struct sink *sink);

#endif
