#ifndef RATAMARK_TESTS_LESSON_KEYS_H
#define RATAMARK_TESTS_LESSON_KEYS_H
/* The keys of a lesson or course file, each with its level as messages name it, read with libyaml
   itself. */
#include <stddef.h>

struct lesson_key {
    const char *level, *name; /* "an exercise", "title"; valid during the call */
    size_t from, to;          /* the bytes without which the key and its value are gone; equal if it
                                 is the only key of a block */
    size_t value_from, value_to; /* the value, if it is text on one line; else equal */
    size_t item_from, item_to;   /* the bytes to cut to drop the last of several list items, or of
                                    several pairs whose keys the author chooses; else equal */
};

/* Calls `found` with each key of a file that is right. `level`: "a lesson" or "a course file". */
void each_key(const char *bytes, size_t length, const char *level,
              void (*found)(const struct lesson_key *key));

#endif
