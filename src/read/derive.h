#ifndef RATAMARK_READ_DERIVE_H
#define RATAMARK_READ_DERIVE_H
/*
 * A new lesson file made from one exercise of another: the lesson's own keys, and the exercise
 * several times, each time with some of its keys changed. It is tidy (tidy.h). Keys that an
 * exercise shares with its copies go up to the lesson where they mean the same.
 */
#include "base/buffer.h"
#include "read/read.h"

/* A key and its value as YAML, in place of what there is; NULL: the key goes. `entries`: more
   entries for the map that the key has, which win over those of the same key. */
struct derived_key {
    const char *key, *text;
    bool entries;
};
struct derived_map {
    const struct derived_key *keys;
    size_t count;
};

struct derivation {
    size_t exercise;           /* index in the lesson */
    const char *comment;       /* the file's first line, "# ..." */
    struct derived_map lesson; /* changes to the lesson's keys */
    const struct derived_map *copies;
    size_t copy_count;
};

/* `source` has no errors. False if it has something that cannot be moved. */
bool read_derive(struct read_source source, const struct derivation *derivation,
                 struct buffer *out);

#endif
