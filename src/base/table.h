#ifndef RATAMARK_BASE_TABLE_H
#define RATAMARK_BASE_TABLE_H
/*
 * A hash table for keys of any kind: texts, bytes, integers, structures. Keys and values stay in a
 * row of the caller, a vector mostly; the table finds the numbers of the items in it.
 *
 *     struct table table = {0};
 *     VECTOR(struct person) people = {0};
 *
 *     static struct person *find(const char *name)
 *     {
 *         struct table_search search = table_search(&table, hash_text(name));
 *         for (size_t i; table_next(&search, &i);)
 *             if (strcmp(people.items[i].name, name) == 0)
 *                 return &people.items[i];
 *         return NULL;
 *     }
 *
 *     table_add(&table, hash_text(person.name), people.count, arena);
 *     *vector_push(&people, arena) = person;
 *
 * A search yields the numbers that were added with the same hash, and a few others that share it:
 * the caller compares the keys. To go through all items, in the order in which they were added, go
 * through the row. Nothing is ever removed but all at once.
 *
 * Memory is of an arena, or of the heap where the arena is NULL: then table_release() frees it.
 * One table keeps to one of the two.
 */
#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

struct table_slot {
    uint32_t hash, after; /* the number + 1; 0: a free slot */
};

/* `struct table table = {0};` is empty and owns nothing. */
struct table {
    struct table_slot *slots;
    size_t room, count; /* room is 0 or a power of two, at least twice the count */
};

/* Adds a number, smaller than UINT32_MAX, whether it is there already or not. */
void table_add(struct table *table, uint64_t hash, size_t number, struct arena *arena);

/* Forgets all numbers and keeps the memory. After arena_reset(), assign {0} instead. */
void table_clear(struct table *table);

/* Frees a table on the heap; it is then empty and can be used again. */
void table_release(struct table *table);

/* ---- searching ------------------------------------------------------------------------------ */

struct table_search {
    const struct table_slot *slots;
    size_t at, mask;
    uint32_t hash;
};

static inline uint32_t table_short_hash(uint64_t hash)
{
    return (uint32_t)(hash ^ hash >> 24);
}

/* Begins a search. It must end before the next table_add(). */
static inline struct table_search table_search(const struct table *table, uint64_t hash)
{
    uint32_t wanted = table_short_hash(hash);
    return (struct table_search){table->slots, wanted, table->room - 1, wanted};
}

/* Sets *number to the next candidate. False: there are no more. */
static inline bool table_next(struct table_search *search, size_t *number)
{
    if (!search->slots)
        return false;
    for (;;) {
        const struct table_slot *slot = &search->slots[search->at++ & search->mask];
        if (slot->after == 0)
            return false;
        if (slot->hash == search->hash) {
            *number = slot->after - 1;
            return true;
        }
    }
}

/* ---- hashes --------------------------------------------------------------------------------- */

/* They depend on the machine's byte order: good for this run only. Multiplying by 2^64 over the
   golden ratio spreads neighbouring keys (Knuth, The Art of Computer Programming, vol. 3, 6.4). */
#define HASH_FACTOR UINT64_C(0x9E3779B97F4A7C15)

/* Joins one more part of a key to the hash of those before it. */
static inline uint64_t hash_join(uint64_t hash, uint64_t part)
{
    hash ^= part;
    return (hash ^ hash >> 32) * HASH_FACTOR;
}

static inline uint64_t hash_number(uint64_t number)
{
    return hash_join(0, number);
}

/* Eight bytes at a time; the rest as two halves that may overlap, for most keys are short. */
static inline uint64_t hash_bytes(const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    uint64_t hash = length * HASH_FACTOR, part = 0;
    for (; length >= sizeof part; at += sizeof part, length -= sizeof part) {
        memcpy(&part, at, sizeof part);
        hash = hash_join(hash, part);
    }
    if (length >= 4) {
        uint32_t front, back;
        memcpy(&front, at, sizeof front);
        memcpy(&back, at + length - sizeof back, sizeof back);
        part = front | (uint64_t)back << (8 * length - 32);
    } else {
        part = 0;
        for (size_t i = 0; i < length; i++)
            part = part << 8 | at[i];
    }
    return hash_join(hash, part);
}

static inline uint64_t hash_text(const char *text)
{
    return hash_bytes(text, strlen(text));
}

#endif
