#include "base/vector.h"

#include <stdint.h>

/* Few to begin with: most rows of a lesson are short, and rows of large items shorter still. */
static size_t first_room(size_t size)
{
    return size <= 16 ? 8 : size < 64 ? 4 : size < 128 ? 2 : 1;
}

void *vector_grow(void *items, size_t *room, size_t size, size_t least, struct arena *arena)
{
    size_t old = *room * size, bytes;
    *room = *room ? *room * 2 : first_room(size);
    if (*room < least)
        *room = least;
    if (__builtin_mul_overflow(*room, size, &bytes))
        memory_exhausted(SIZE_MAX);
    if (!arena)
        return memory_resize(items, bytes);
    if (old && arena_extend(arena, items, old, bytes))
        return items;
    void *grown = arena_room(arena, bytes);
    if (old)
        memcpy(grown, items, old);
    return grown;
}

void items_sort(void *items, size_t count, size_t size, int (*compare)(const void *, const void *))
{
    const char *row = items;
    size_t sorted = 1;
    while (sorted < count && compare(row + (sorted - 1) * size, row + sorted * size) <= 0)
        sorted++;
    if (sorted < count)
        qsort(items, count, size, compare);
}
