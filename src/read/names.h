#ifndef RATAMARK_READ_NAMES_H
#define RATAMARK_READ_NAMES_H
/* A table from names to numbers, found by hashing: one look-up, however many names. */
#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

struct name_entry {
    const char *name;
    size_t length;
    uint32_t hash, number;
};

/* `struct names table = {0};` is empty. Everything lives in the arena. */
struct names {
    struct name_entry *slots; /* a slot without a name is free */
    size_t room, count;
};

/* Adds a name, which must outlive the table. False, with *number set to what it has, where the name
   is already there. */
bool names_add(struct names *names, struct arena *arena, const char *name, size_t length,
               uint32_t *number);
bool names_find(const struct names *names, const char *name, size_t length, uint32_t *number);

/* The name nearest to a wrong one; NULL where none is near. The first of `count` fixed ones wins
   over the table's. */
const char *names_nearest(const struct names *names, struct arena *arena, const char *wrong,
                          const char *const *fixed, size_t fixed_count);

#endif
