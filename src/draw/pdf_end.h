#ifndef RATAMARK_DRAW_PDF_END_H
#define RATAMARK_DRAW_PDF_END_H
/*
 * What cairo's PDF lacks: the language of the document, a window that shows its title, and for each
 * Figure of its structure a text that is read in place of the picture (ISO 32000-1, 14.9.2, 14.9.3
 * and 12.2). All of them are entries of dictionaries that cairo writes in plain behind the last
 * stream of a file: only what follows it waits here, is added to, and has its table of places
 * (7.5.4) put right.
 *
 *     struct pdf_end end = {.sink = &sink};
 *     ... cairo_pdf_surface_create_for_stream(pdf_end_write, &end, ...) ... cairo_surface_finish()
 * ... pdf_end_finish(&end, &words);
 */
#include "base/buffer.h"
#include "draw/byte_sink.h"

struct pdf_end {
    struct sink *sink;
    struct buffer waiting; /* the last of what came; */
    size_t handed_on;      /* ... how many bytes before it; */
    size_t kept;           /* ... how many of it were looked at */
};

struct pdf_words {
    const char *language; /* of the document, BCP 47 */
    const char *const *figures;
    size_t figure_count;
    const char *figure_language; /* of those texts, where it is another; else NULL */
};

/* For cairo: `closure` is the struct pdf_end. */
cairo_status_t pdf_end_write(void *closure, const unsigned char *bytes, unsigned int length);
/* Hands on the rest, words added; as it came where it is not as cairo 1.16 writes it. Frees. */
void pdf_end_finish(struct pdf_end *end, const struct pdf_words *words);

#endif
