#ifndef RATAMARK_VARY_VARY_WORDS_H
#define RATAMARK_VARY_VARY_WORDS_H
/* A variation as keys of a lesson file. */
#include "vary/space.h"

/* A key that a variation has in place of its exercise's. */
struct vary_key {
    const char *key;
    const char *text; /* as YAML; NULL: the variation has no such key */
    bool entries;     /* the text is entries that the exercise's own map gets, too */
};

enum { VARY_KEYS_MAX = 8 };
/* Returns how many keys there are; their texts are on the arena. */
size_t vary_keys_of(const struct space *space, const uint32_t *letters,
                    struct vary_key keys[VARY_KEYS_MAX], struct arena *arena);

/* What limits a choice, as in "2 to 4 accents". */
const char *vary_limit_words(const struct space *space, int limit, struct arena *arena);

#endif
