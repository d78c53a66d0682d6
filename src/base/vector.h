#ifndef RATAMARK_BASE_VECTOR_H
#define RATAMARK_BASE_VECTOR_H
/*
 * A growing row of things of one type, on an arena (old rooms stay behind in it, at most as much
 * again as the row itself).
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
     &(vector)->items[(vector)->count++])

/* More room for a vector's items: the work of vector_push(), not to be called by itself. */
static inline void *vector_grow(void *items, size_t *room, size_t size, struct arena *arena)
{
    size_t more = *room ? *room * 2 : 8;
    void *grown = arena_array(arena, more, size);
    if (*room)
        memcpy(grown, items, *room * size);
    *room = more;
    return grown;
}

#endif
