#ifndef RATAMARK_BASE_ARENA_H
#define RATAMARK_BASE_ARENA_H
/*
 * Memory that is freed all at once: one arena holds a lesson from reading to drawing.
 *
 *     struct arena *arena = arena_new();
 *     char *copy = arena_copy_text(arena, text, length);
 *     arena_free(arena);
 *
 * All memory of the program comes through this header; nothing here returns NULL. When the machine
 * has no memory left, the exhaustion handler is called, which must not return. The default aborts;
 * the command sets one that prints an error and exits.
 */
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* Only the functions below use its fields. */
struct arena {
    unsigned char *free, *end; /* what is left of the newest block */
    struct arena_block *newest;
    size_t next_size;
};

/* A new, empty arena; free it with arena_free(). */
struct arena *arena_new(void);

/* The same, with a small first block: for many arenas of some hundred bytes each. */
struct arena *arena_new_small(void);

/* Frees the arena and all memory that it gave out. NULL is allowed. */
void arena_free(struct arena *arena);

/* Where the arena gives out memory next, unless it starts a new block. */
static inline const void *arena_here(const struct arena *arena)
{
    return arena->free;
}

/* What an arena gave out between two moments. */
struct arena_stretch {
    const void *from, *to;
};

/* Brings it into the cache. Where it is read next, in no particular order, that saves waiting for
   each piece by itself. Does nothing if the arena started a new block in between. */
void arena_fetch(struct arena_stretch stretch);

/* Takes about `bytes` bytes in one block when memory is next needed. */
void arena_expect(struct arena *arena, size_t bytes);

/* Takes back all memory that the arena gave out, and keeps its newest block for use again. */
void arena_reset(struct arena *arena);

/* `size` uninitialised bytes, aligned for any type. They live as long as the arena. */
static inline void *arena_room(struct arena *arena, size_t size);

/* As arena_room(), zeroed. Zeroing each piece is quicker than zeroing blocks: the caller writes to
   it next, while it is still in the cache. */
static inline void *arena_alloc(struct arena *arena, size_t size)
{
    return memset(arena_room(arena, size), 0, size);
}

/* As arena_alloc() for `count` items of `size` bytes. A product that overflows counts as
 * exhaustion. */
void *arena_array(struct arena *arena, size_t count, size_t size);

/* As arena_array(), but not zeroed. */
void *arena_array_room(struct arena *arena, size_t count, size_t size);

/* Enlarges the piece that was given out last, in place, from `size` to `more` bytes; the new ones
   are not zeroed. Returns false and changes nothing if `memory` is not the last piece or there is
   no room. */
bool arena_extend(struct arena *arena, void *memory, size_t size, size_t more);

/* A copy of `count` items of `size` bytes. */
void *arena_copy(struct arena *arena, const void *items, size_t count, size_t size);

/* A copy of `length` bytes of text with a NUL at its end. */
char *arena_copy_text(struct arena *arena, const char *text, size_t length);

/* Formats like printf, into the arena. */
char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Formats like vprintf. */
char *arena_format_list(struct arena *arena, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

/* Heap memory for what does not suit an arena: like malloc, realloc and free, but never NULL.
   Freeing leaves errno as it is. */
void *memory_alloc(size_t size);
void *memory_resize(void *old, size_t size);
void memory_free(void *old);

/* Sets the function to call when memory is exhausted. It must not return. */
void memory_on_exhaustion(void (*handler)(size_t wanted));
/* Calls it. */
_Noreturn void memory_exhausted(size_t wanted);

/* ---- the part of arena_room() that is inlined ----------------------------------------------- */

enum { ARENA_ALIGNMENT = 16 };

/* Starts a block with enough room, and gives out its first `size` bytes. */
void *arena_room_in_new_block(struct arena *arena, size_t size);

static inline void *arena_room(struct arena *arena, size_t size)
{
    /* What is left is a multiple of the alignment: if the size fits, so does the rounded size. */
    if (size > (size_t)(arena->end - arena->free))
        return arena_room_in_new_block(arena, size);
    void *memory = arena->free;
    arena->free += (size + ARENA_ALIGNMENT - 1) & ~(size_t)(ARENA_ALIGNMENT - 1);
    return memory;
}

#endif
