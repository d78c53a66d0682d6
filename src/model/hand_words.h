#ifndef RATAMARK_MODEL_HAND_WORDS_H
#define RATAMARK_MODEL_HAND_WORDS_H
/* Where an author's text names a hand. */
#include <stddef.h>

/* A stretch of a text; without length: none. */
struct hand_words {
    const char *bytes;
    size_t length;
};

/* The first words that name a hand; the `{right|left}` of turned.h is passed over. */
struct hand_words hand_words_find(const char *text);
/* The first braces that name hands as `{right|left}` does, but are written differently, so that
   they stay as they are: `{right/left}`, `{right|left|both}`, `{right|left` with no end. */
struct hand_words hand_words_wrong(const char *text);

#endif
