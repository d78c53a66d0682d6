#ifndef RATAMARK_BASE_ARENA_H
#define RATAMARK_BASE_ARENA_H
/*
 * Memory that lives together dies together: one arena holds a lesson from reading to drawing.
 *
 *     struct arena *arena = arena_new();
 *     char *copy = arena_copy_text(arena, text, length);
 *     arena_free(arena);
 *
 * All memory of the program comes through this header. When the machine has none left the
 * exhaustion handler is called; it must not return. The default aborts; the command line sets
 * one that says so and ends with its own status.
 */
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* Its fields are for the functions below alone. */
struct arena {
    unsigned char *free, *end; /* what is left of the newest block */
    struct arena_block *newest;
    size_t next_size;
};

/* A new, empty arena. The caller frees it with arena_free(). */
struct arena *arena_new(void);

/* The same, for one of many that hold some hundred bytes each. */
struct arena *arena_new_small(void);

/* Frees the arena and all that it gave out. NULL is allowed. */
void arena_free(struct arena *arena);

/* Says that about so many bytes will be asked for: they are then taken in one block. */
void arena_expect(struct arena *arena, size_t bytes);

/* Forgets all that the arena gave out, keeping one block for use again. */
void arena_reset(struct arena *arena);

/* Memory for `size` bytes that hold nothing known, for what is written at once; aligned for any
   type. It lives as long as the arena. */
static inline void *arena_room(struct arena *arena, size_t size);

/* As arena_room(), zeroed. That is done here and not for a block at a time: what is zeroed now is
   written next. */
static inline void *arena_alloc(struct arena *arena, size_t size)
{
    return memset(arena_room(arena, size), 0, size);
}

/* As arena_alloc() for `count` things of `size` bytes; an overflowing product is exhaustion. */
void *arena_array(struct arena *arena, size_t count, size_t size);

/* As arena_array(), but not zeroed. */
void *arena_array_room(struct arena *arena, size_t count, size_t size);

/* Makes what was given out last larger where it stands: from `size` to `more` bytes, the new ones
   not zeroed. False, and nothing changed, where `memory` is not the last or there is no room. */
bool arena_extend(struct arena *arena, void *memory, size_t size, size_t more);

/* A copy of `count` items of `size` bytes. */
void *arena_copy(struct arena *arena, const void *items, size_t count, size_t size);

/* A NUL-ended copy of `length` bytes of text. */
char *arena_copy_text(struct arena *arena, const char *text, size_t length);

/* Formats as printf does, into the arena. */
char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* The same as vprintf does. */
char *arena_format_list(struct arena *arena, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

/* Plain heap memory for what outgrows an arena: as malloc, realloc and free, never NULL. */
void *memory_alloc(size_t size);
void *memory_resize(void *old, size_t size);
void memory_free(void *old);

/* Names the function to call when memory is exhausted. It must not return. */
void memory_on_exhaustion(void (*handler)(size_t wanted));
/* Calls it. */
_Noreturn void memory_exhausted(size_t wanted);

/* ---- the part of arena_room() that is worth being inlined --------------------------------------
 */

enum { ARENA_ALIGNMENT = 16 };

/* Starts a block that has the room, and gives out of it. */
void *arena_room_in_new_block(struct arena *arena, size_t size);

static inline void *arena_room(struct arena *arena, size_t size)
{
    /* what is left is a multiple of the alignment: where the size fits, so does it rounded up */
    if (size > (size_t)(arena->end - arena->free))
        return arena_room_in_new_block(arena, size);
    void *memory = arena->free;
    arena->free += (size + ARENA_ALIGNMENT - 1) & ~(size_t)(ARENA_ALIGNMENT - 1);
    return memory;
}

#endif
