#ifndef RATAMARK_LIB_ALT_TEXT_H
#define RATAMARK_LIB_ALT_TEXT_H
/*
 * The spoken text of a score, part by part, for a drawing that puts it beside the figures.
 *
 *     struct alt_text alt_text = {.score = score};
 *     struct drawing_words words = alt_text_words(&alt_text);
 *     ... drawing_open(... &(struct drawing_options){.words = &words} ...) ... drawing_close() ...
 *     alt_text_release(&alt_text);
 */
#include "base/buffer.h"
#include "draw/draw.h"
#include "model/score.h"

struct alt_text {
    const struct score *score;
    struct buffer head, heading, paragraphs, music, ladder, tail; /* the last text of each part */
};

/* The score may be set later, and again for each lesson of a booklet. The language is that of the
   score that is set now. */
struct drawing_words alt_text_words(struct alt_text *alt_text);
void alt_text_release(struct alt_text *alt_text);

#endif
