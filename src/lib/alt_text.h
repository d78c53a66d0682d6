#ifndef RATAMARK_LIB_ALT_TEXT_H
#define RATAMARK_LIB_ALT_TEXT_H
/*
 * What the reading (spoken) says, as a drawing asks for it.
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
    struct buffer head, heading, paragraphs, music, ladder, tail; /* what was said last */
};

/* The score may come later, lesson after lesson; the language is that of the one that is there. */
struct drawing_words alt_text_words(struct alt_text *alt_text);
void alt_text_release(struct alt_text *alt_text);

#endif
