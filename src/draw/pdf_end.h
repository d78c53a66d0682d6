#ifndef RATAMARK_DRAW_PDF_END_H
#define RATAMARK_DRAW_PDF_END_H
/*
 * What cairo's PDF lacks: the language of the document, a window that shows its title, and for each
 * Figure of its structure a text that is read in place of the picture (ISO 32000-1, 14.9.2, 14.9.3
 * and 12.2). All of them are entries of dictionaries that cairo writes in plain text behind the
 * last stream of a file. Only what follows that stream waits here; the rest is handed on at once.
 *
 *     struct pdf_end end = {.sink = &sink};
 *     surface = cairo_pdf_surface_create_for_stream(pdf_end_write, &end, ...);
 *     ... cairo_surface_finish(surface) ...
 *     bool added = pdf_end_finish(&end, &words);
 */
#include "base/buffer.h"
#include "draw/byte_sink.h"

struct pdf_end {
    struct sink *sink;
    struct buffer waiting;
    size_t handed_on; /* bytes before those that wait */
    size_t searched;  /* of those that wait: no stream ends in them */
};

struct pdf_words {
    const char *language; /* of the document, BCP 47; NULL: not known */
    const char *const *figures;
    size_t figure_count;
    const char *figure_language; /* of the figures' texts where it is another, else NULL */
};

/* For cairo: `closure` is the struct pdf_end. */
cairo_status_t pdf_end_write(void *closure, const unsigned char *bytes, unsigned int length);

/* Hands on the rest with the words added, and frees what waited. False where the end of the file or
   its figures are not as expected: the file is then handed on unchanged. */
bool pdf_end_finish(struct pdf_end *end, const struct pdf_words *words);

#endif
