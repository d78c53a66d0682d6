#ifndef RATAMARK_READ_KEY_LEVEL_H
#define RATAMARK_READ_KEY_LEVEL_H
/* Which table has the keys of a map, for code that goes through a file's maps without reading what
   they say. Lists have the level of their items. */
#include "read/scope.h"

struct key_level {
    const struct key_table *table; /* NULL: the author chooses the keys */
    unsigned where;
    const struct key_level *under; /* of names that the author chooses: what they have */
};

/* The level of a whole file. */
struct key_level key_level_of_file(bool course);
/* The level of a key's value. */
struct key_level key_level_under(struct key_level level, const char *key);
/* The row of a key: those of the author's voices have that of "". The table's size if there is
   none. */
size_t key_level_row(struct key_level level, const char *key);

#endif
