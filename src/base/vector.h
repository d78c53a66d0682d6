#ifndef RATAMARK_BASE_VECTOR_H
#define RATAMARK_BASE_VECTOR_H
/*
 * A growing row of things of one type, on an arena. A row that grows while nothing else is made
 * grows where it stands; else its old rooms stay behind (at most as much again as the row itself).
 *
 *     VECTOR(struct stroke) strokes = {0};
 *     *vector_push(&strokes, arena) = stroke;
 *     for (size_t i = 0; i < strokes.count; i++) use(&strokes.items[i]);
 */
#include "base/arena.h"

#include <stddef.h>
#include <string.h>

#define VECTOR(type)                                                                               \
    struct {                                                                                       \
        type *items;                                                                               \
        size_t count, room;                                                                        \
    }

/* A pointer to one more, zeroed item at the end. It may move at the next push. */
#define vector_push(vector, arena)                                                                 \
    ((vector)->count == (vector)->room                                                             \
         ? (void)((vector)->items = vector_grow((vector)->items, &(vector)->room,                  \
                                                sizeof *(vector)->items, (arena)))                 \
         : (void)0,                                                                                \
     memset(&(vector)->items[(vector)->count], 0, sizeof *(vector)->items),                        \
     &(vector)->items[(vector)->count++])

/* Room for at least `least` items in an empty vector whose length is known before. */
#define vector_reserve(vector, least, arena)                                                       \
    ((vector)->room = (least),                                                                     \
     (vector)->items = arena_array_room((arena), (vector)->room, sizeof *(vector)->items))

/* More room, not zeroed, for a vector's items: the work of vector_push(), not to be called by
   itself. It starts with 8 small items, fewer large ones: most rows of a lesson are short. */
static inline void *vector_grow(void *items, size_t *room, size_t size, struct arena *arena)
{
    size_t old = *room;
    size_t first = size <= 16 ? 8 : size < 64 ? 4 : size < 128 ? 2 : 1;
    *room = old ? old * 2 : first;
    if (old && arena_extend(arena, items, old * size, *room * size))
        return items;
    void *grown = arena_array_room(arena, *room, size);
    if (items)
        memcpy(grown, items, old * size);
    return grown;
}

#endif
