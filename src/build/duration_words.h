#ifndef RATAMARK_BUILD_DURATION_WORDS_H
#define RATAMARK_BUILD_DURATION_WORDS_H
/* Lengths of time in a drummer's words, for messages. */
#include "base/arena.h"
#include "model/meter.h"

/* "a triplet sixteenth", "a quarter and a dotted eighth", "2 whole notes", or, if it would take too
   many note values, "5/11 of a quarter". `length` is positive, in whole notes. */
const char *duration_words(struct arena *arena, struct fraction length);

/* In the meter's unit: "3 5/6 quarters", "6 eighths", "1 quarter". */
const char *duration_in_units(struct arena *arena, struct fraction length,
                              const struct meter *meter);

/* "4/4", "2+2+3/8". */
const char *meter_words(struct arena *arena, const struct meter *meter);

#endif
