#ifndef RATAMARK_APP_SAID_H
#define RATAMARK_APP_SAID_H
/*
 * What the reading (spoken) says, as a drawing asks for it.
 *
 *     struct said said = {.score = score};
 *     struct drawing_words words = said_words(&said);
 *     ... drawing_open(... &(struct drawing_options){.words = &words} ...) ... drawing_close() ...
 *     said_release(&said);
 */
#include "base/buffer.h"
#include "draw/draw.h"
#include "model/score.h"

struct said {
    const struct score *score;
    struct buffer head, heading, paragraphs, music, ladder, tail; /* what was said last */
};

/* The score may come later, lesson after lesson; the language is that of the one that is there. */
struct drawing_words said_words(struct said *said);
void said_release(struct said *said);

#endif
