#ifndef RATAMARK_BASE_VECTOR_H
#define RATAMARK_BASE_VECTOR_H
/*
 * A growing row of items of one type, on an arena or, where the arena is NULL, on the heap. And the
 * one binary search.
 *
 *     VECTOR(struct stroke) strokes = {0};
 *     *vector_push(&strokes, arena) = stroke;
 *     for (size_t i = 0; i < strokes.count; i++) use(&strokes.items[i]);
 *
 * A row grows by doubling. On an arena that leaves the old memory behind, at most as much as the
 * row's own, unless nothing else was taken from the arena since: then the row grows in place.
 * vector_release() frees a row on the heap. One row keeps to one of the two.
 */
#include "base/arena.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#define VECTOR(type)                                                                               \
    struct {                                                                                       \
        type *items;                                                                               \
        size_t count, room;                                                                        \
    }

/* A pointer to a new, zeroed item at the end. The next push may move it. */
#define vector_push(vector, arena)                                                                 \
    items_push((vector)->items, (vector)->count, (vector)->room, (arena))

/* The same for a row whose three parts have names of their own. `room` is a size_t. */
#define items_push(items, count, room, arena)                                                      \
    ((count) == (room)                                                                             \
         ? (void)((items) = vector_grow((items), &(room), sizeof *(items), (room) + 1, (arena)))   \
         : (void)0,                                                                                \
     memset(&(items)[count], 0, sizeof *(items)), &(items)[(count)++])

/* Makes room for `least` items in all, so that their addresses stay until more are pushed. */
#define vector_reserve(vector, least, arena)                                                       \
    ((vector)->room < (least)                                                                      \
         ? (void)((vector)->items = vector_grow((vector)->items, &(vector)->room,                  \
                                                sizeof *(vector)->items, (least), (arena)))        \
         : (void)0)

/* Frees a row on the heap; it is then empty and can be used again. */
#define vector_release(vector)                                                                     \
    (memory_free((vector)->items), (vector)->items = NULL, (vector)->count = (vector)->room = 0)

/* qsort(), also for a row that is empty and has no address. */
#define vector_sort(vector, compare)                                                               \
    items_sort((vector)->items, (vector)->count, sizeof *(vector)->items, (compare))

/*
 * Binary search: sets `at`, a size_t, to the first number from `first` to `end` for which
 * `is_before`, an expression with `at`, does not hold; to `end` where it holds for all. The items
 * for which it holds must come first.
 *
 *     size_t at;
 *     lower_bound(at, 0, row.count, row.items[at].place < place);
 *     bool found = at < row.count && row.items[at].place == place;
 */
#define lower_bound(at, first, end, is_before)                                                     \
    for (size_t low_ = (first), high_ = (end); (at) = low_ + (high_ - low_) / 2, low_ < high_;)    \
        if (is_before)                                                                             \
            low_ = (at) + 1;                                                                       \
        else                                                                                       \
            high_ = (at)

/* The same for a row whose parts have names of their own. Most of a lesson's rows are already
 * sorted, so that case costs a single pass. */
void items_sort(void *items, size_t count, size_t size, int (*compare)(const void *, const void *));

/* More room, not zeroed, at least `least` items: what items_push() and vector_reserve() call. */
void *vector_grow(void *items, size_t *room, size_t size, size_t least, struct arena *arena)
    __attribute__((returns_nonnull));

#endif
