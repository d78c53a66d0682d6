#ifndef RATAMARK_READ_TRADE_WORDS_H
#define RATAMARK_READ_TRADE_WORDS_H
/*
 * Words of the trade that a lesson says in another way: `bd`, `hats`, `feel`. A name that looks
 * like one of these is no slip for a name that it happens to be spelled like, so they come before
 * "did you mean".
 */
#include <stdbool.h>
#include <stddef.h>

/* What to write instead: "'bass-drum'; as a key also 'kick'". NULL if it is no such word. Case,
   hyphens and blanks make no difference. */
const char *trade_word_pointer(const char *word, size_t length);

/* The key of `play` that a word for a limb stands for, as `right hand` for "R"; else NULL. */
const char *trade_limb(const char *word, size_t length);

/* The words of the table in order, for tests; NULL after the last. */
const char *trade_word(size_t index);

#endif
