#define _DEFAULT_SOURCE /* madvise */
#include "base/arena.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

enum {
    FIRST_BLOCK = 16 * 1024,
    LARGEST_BLOCK = 8 * 1024 * 1024,
    ALIGNMENT = 16,
    HUGE_PAGE = 2 * 1024 * 1024
};

struct block {
    struct block *older;
    size_t size, used;
    size_t padding; /* keeps `bytes` aligned to ALIGNMENT */
    unsigned char bytes[];
};

struct arena {
    struct block *newest;
    size_t next_size;
    size_t held;
};

static void (*exhaustion_handler)(size_t wanted);

static _Noreturn void exhausted(size_t wanted)
{
    if (exhaustion_handler)
        exhaustion_handler(wanted);
    abort();
}

void memory_on_exhaustion(void (*handler)(size_t wanted))
{
    exhaustion_handler = handler;
}

void *memory_alloc(size_t size)
{
    return memory_resize(NULL, size);
}

void *memory_resize(void *old, size_t size)
{
    void *memory = realloc(old, size ? size : 1);
    if (!memory)
        exhausted(size);
    return memory;
}

void memory_free(void *old)
{
    free(old);
}

struct arena *arena_new(void)
{
    struct arena *arena = memory_alloc(sizeof *arena);
    *arena = (struct arena){.next_size = FIRST_BLOCK};
    return arena;
}

static void free_blocks(struct block *block)
{
    while (block) {
        struct block *older = block->older;
        memory_free(block);
        block = older;
    }
}

void arena_free(struct arena *arena)
{
    if (!arena)
        return;
    free_blocks(arena->newest);
    memory_free(arena);
}

void arena_reset(struct arena *arena)
{
    struct block *kept = arena->newest;
    if (!kept)
        return;
    free_blocks(kept->older);
    kept->older = NULL;
    memset(kept->bytes, 0, kept->used);
    kept->used = 0;
    arena->held = kept->size;
}

/* A large block is touched page after page from its start: with pages of 2 MiB, where the system
   has them, that costs a third of what pages of 4 KiB do. What is given out begins where such a
   page does; the room before it stays untouched. */
static void prefer_huge_pages(struct block *block)
{
#ifdef MADV_HUGEPAGE
    uintptr_t mask = HUGE_PAGE - 1, start = ((uintptr_t)block->bytes + mask) & ~mask;
    uintptr_t end = ((uintptr_t)block->bytes + block->size) & ~mask;
    block->used = start - (uintptr_t)block->bytes;
    (void)madvise((void *)start, end - start, MADV_HUGEPAGE); /* a wish: refusal is no harm */
#else
    (void)block;
#endif
}

static struct block *add_block(struct arena *arena, size_t least)
{
    size_t size = least > arena->next_size ? least : arena->next_size;
    bool large = size >= HUGE_PAGE;
    if (size > SIZE_MAX - sizeof(struct block) - HUGE_PAGE)
        exhausted(size);
    if (large)
        size += HUGE_PAGE;
    struct block *block = calloc(1, sizeof *block + size);
    if (!block)
        exhausted(size);
    block->older = arena->newest;
    block->size = size;
    arena->newest = block;
    arena->held += size;
    if (large)
        prefer_huge_pages(block);
    if (arena->next_size < LARGEST_BLOCK)
        arena->next_size *= 2;
    return block;
}

void arena_expect(struct arena *arena, size_t bytes)
{
    while (arena->next_size < bytes && arena->next_size < LARGEST_BLOCK)
        arena->next_size *= 2;
}

static size_t rounded_up(size_t size)
{
    if (size > SIZE_MAX - ALIGNMENT)
        exhausted(size);
    return (size + ALIGNMENT - 1) & ~(size_t)(ALIGNMENT - 1);
}

void *arena_alloc(struct arena *arena, size_t size)
{
    size_t rounded = rounded_up(size);
    struct block *block = arena->newest;
    if (!block || rounded > block->size - block->used)
        block = add_block(arena, rounded);
    void *memory = block->bytes + block->used;
    block->used += rounded;
    return memory;
}

bool arena_extend(struct arena *arena, void *memory, size_t size, size_t more)
{
    struct block *block = arena->newest;
    size_t old = rounded_up(size), wanted = rounded_up(more);
    if (!block || old > block->used ||
        (unsigned char *)memory != block->bytes + (block->used - old) ||
        wanted - old > block->size - block->used)
        return false;
    block->used += wanted - old;
    return true;
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, size, &bytes))
        exhausted(SIZE_MAX);
    return arena_alloc(arena, bytes);
}

char *arena_copy_text(struct arena *arena, const char *text, size_t length)
{
    char *copy = arena_alloc(arena, length + 1);
    if (length)
        memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

char *arena_format(struct arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    char *text = arena_alloc(arena, (size_t)(length < 0 ? 0 : length) + 1);
    if (length > 0)
        vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}

size_t arena_held(const struct arena *arena)
{
    return arena->held;
}
