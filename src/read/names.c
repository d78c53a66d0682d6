#include "read/names.h"

#include "diag/diag.h"

#include <stdlib.h>
#include <string.h>

/* Multiplicative hashing (Knuth vol. 3 6.4) of eight bytes at a time, of the rest as two halves
   that may overlap: names are short. */
static uint32_t hash_of(const char *name, size_t length)
{
    const uint64_t factor = UINT64_C(0x9E3779B97F4A7C15);
    uint64_t hash = length * factor, part;
    for (; length >= sizeof part; name += sizeof part, length -= sizeof part) {
        memcpy(&part, name, sizeof part);
        hash = (hash ^ hash >> 32 ^ part) * factor;
    }
    if (length >= 4) {
        uint32_t front, back;
        memcpy(&front, name, sizeof front);
        memcpy(&back, name + length - sizeof back, sizeof back);
        part = (uint64_t)front << 32 | back;
    } else {
        part = 0;
        for (size_t i = 0; i < length; i++)
            part = part << 8 | (unsigned char)name[i];
    }
    return (uint32_t)((hash ^ hash >> 32 ^ part) * factor >> 32);
}

/* The slot that holds the name, or the free one where it would stand. room is a power of two. */
static struct name_entry *slot_of(const struct names *names, uint32_t hash, const char *name,
                                  size_t length)
{
    for (size_t i = hash;; i++) {
        struct name_entry *slot = &names->slots[i & (names->room - 1)];
        if (!slot->name ||
            (slot->hash == hash && slot->length == length && memcmp(slot->name, name, length) == 0))
            return slot;
    }
}

static void make_room(struct names *names, struct arena *arena)
{
    struct names larger = {.room = names->room ? names->room * 2 : 16, .count = names->count};
    larger.slots = arena_array(arena, larger.room, sizeof *larger.slots);
    for (size_t i = 0; i < names->room; i++) {
        const struct name_entry *old = &names->slots[i];
        if (old->name)
            *slot_of(&larger, old->hash, old->name, old->length) = *old;
    }
    *names = larger;
}

bool names_add(struct names *names, struct arena *arena, const char *name, size_t length,
               uint32_t *number)
{
    if (names->count * 2 >= names->room)
        make_room(names, arena);
    uint32_t hash = hash_of(name, length);
    struct name_entry *slot = slot_of(names, hash, name, length);
    if (slot->name) {
        *number = slot->number;
        return false;
    }
    *slot = (struct name_entry){name, length, hash, *number};
    names->count++;
    return true;
}

bool names_find(const struct names *names, const char *name, size_t length, uint32_t *number)
{
    if (names->room == 0)
        return false;
    const struct name_entry *slot = slot_of(names, hash_of(name, length), name, length);
    if (!slot->name)
        return false;
    *number = slot->number;
    return true;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

const char *names_nearest(const struct names *names, struct arena *arena, const char *wrong,
                          const char *const *fixed, size_t fixed_count)
{
    const char **all = arena_array(arena, fixed_count + names->count, sizeof *all);
    if (fixed_count)
        memcpy(all, fixed, fixed_count * sizeof *all);
    size_t count = fixed_count;
    for (size_t i = 0; i < names->room; i++)
        if (names->slots[i].name)
            all[count++] = names->slots[i].name;
    /* in an order that does not hang on the table's size */
    qsort(all + fixed_count, count - fixed_count, sizeof *all, by_name);
    return diag_nearest_name(wrong, all, count);
}
