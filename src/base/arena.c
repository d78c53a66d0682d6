#define _DEFAULT_SOURCE /* madvise */
#include "base/arena.h"

#include <errno.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

enum {
    FIRST_BLOCK = 16 * 1024,
    FIRST_SMALL_BLOCK = 256,
    LARGEST_BLOCK = 8 * 1024 * 1024,
    LARGEST_EXPECTED = 128 * 1024 * 1024,
    HUGE_PAGE = 2 * 1024 * 1024,
    CACHE_LINE = 64,
    FETCHED_MOST = 32 * 1024 /* more would push out what comes first */
};

struct arena_block {
    struct arena_block *older;
    size_t size;          /* of `bytes` */
    unsigned char *start; /* the first byte that is given out */
    size_t padding;       /* keeps `bytes` aligned to ARENA_ALIGNMENT */
    unsigned char bytes[];
};

static void (*exhaustion_handler)(size_t wanted);

_Noreturn void memory_exhausted(size_t wanted)
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
        memory_exhausted(size);
    return memory;
}

void memory_free(void *old)
{
    int problem = errno;
    free(old);
    errno = problem;
}

static struct arena *new_arena(size_t first_size)
{
    struct arena *arena = memory_alloc(sizeof *arena);
    unsigned char *nothing = (unsigned char *)arena; /* not NULL, which 0 bytes must not be */
    *arena = (struct arena){.free = nothing, .end = nothing, .next_size = first_size};
    return arena;
}

struct arena *arena_new(void)
{
    return new_arena(FIRST_BLOCK);
}

struct arena *arena_new_small(void)
{
    return new_arena(FIRST_SMALL_BLOCK);
}

static void free_blocks(struct arena_block *block)
{
    while (block) {
        struct arena_block *older = block->older;
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

static size_t rounded_up(size_t size)
{
    if (size > SIZE_MAX - ARENA_ALIGNMENT)
        memory_exhausted(size);
    return (size + ARENA_ALIGNMENT - 1) & ~(size_t)(ARENA_ALIGNMENT - 1);
}

static void give_from(struct arena *arena, struct arena_block *block)
{
    arena->newest = block;
    arena->free = block->start;
    arena->end = block->bytes + block->size;
}

void arena_fetch(struct arena_stretch stretch)
{
    size_t bytes = (uintptr_t)stretch.to - (uintptr_t)stretch.from;
    for (size_t i = 0; bytes <= FETCHED_MOST && i < bytes; i += CACHE_LINE)
        __builtin_prefetch((const char *)stretch.from + i);
}

void arena_reset(struct arena *arena)
{
    struct arena_block *kept = arena->newest;
    if (!kept)
        return;
    free_blocks(kept->older);
    kept->older = NULL;
    give_from(arena, kept);
}

/* Touching a large block page by page takes a third of the time with pages of 2 MiB, if the system
   has them, instead of 4 KiB. The block's start moves to the first 2 MiB boundary; the bytes before
   it stay unused. */
static void prefer_huge_pages(struct arena_block *block)
{
#ifdef MADV_HUGEPAGE
    uintptr_t mask = HUGE_PAGE - 1, start = ((uintptr_t)block->bytes + mask) & ~mask;
    uintptr_t end = ((uintptr_t)block->bytes + block->size) & ~mask;
    block->start += start - (uintptr_t)block->bytes;
    (void)madvise((void *)start, end - start, MADV_HUGEPAGE); /* if refused, no harm is done */
#else
    (void)block;
#endif
}

static void add_block(struct arena *arena, size_t least)
{
    size_t size = least > arena->next_size ? least : arena->next_size;
    bool large = size >= HUGE_PAGE;
    if (size > SIZE_MAX - sizeof(struct arena_block) - HUGE_PAGE)
        memory_exhausted(size);
    if (large)
        size += HUGE_PAGE;
    struct arena_block *block = memory_alloc(sizeof *block + size);
    *block = (struct arena_block){.older = arena->newest, .size = size};
    block->start = block->bytes;
    if (large)
        prefer_huge_pages(block);
    give_from(arena, block);
    arena->next_size = arena->next_size < LARGEST_BLOCK ? arena->next_size * 2 : LARGEST_BLOCK;
}

void *arena_room_in_new_block(struct arena *arena, size_t size)
{
    add_block(arena, rounded_up(size));
    return arena_room(arena, size);
}

void arena_expect(struct arena *arena, size_t bytes)
{
    size_t block = bytes < LARGEST_EXPECTED ? rounded_up(bytes) : LARGEST_EXPECTED;
    if (arena->next_size < block)
        arena->next_size = block;
}

bool arena_extend(struct arena *arena, void *memory, size_t size, size_t more)
{
    size_t old = rounded_up(size), wanted = rounded_up(more);
    if ((unsigned char *)memory + old != arena->free ||
        wanted - old > (size_t)(arena->end - arena->free))
        return false;
    arena->free += wanted - old;
    return true;
}

void *arena_array_room(struct arena *arena, size_t count, size_t size)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, size, &bytes))
        memory_exhausted(SIZE_MAX);
    return arena_room(arena, bytes);
}

void *arena_array(struct arena *arena, size_t count, size_t size)
{
    return memset(arena_array_room(arena, count, size), 0, count * size);
}

void *arena_copy(struct arena *arena, const void *items, size_t count, size_t size)
{
    void *copy = arena_array_room(arena, count, size);
    return count ? memcpy(copy, items, count * size) : copy;
}

char *arena_copy_text(struct arena *arena, const char *text, size_t length)
{
    char *copy = arena_room(arena, length + 1);
    if (length)
        memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

/* Formats into a small buffer first, as most texts are short; a long one is formatted twice. */
char *arena_format_list(struct arena *arena, const char *format, va_list arguments)
{
    char small[256];
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(small, sizeof small, format, arguments);
    char *text = length < (int)sizeof small
                     ? arena_copy_text(arena, small, length < 0 ? 0 : (size_t)length)
                     : arena_room(arena, (size_t)length + 1);
    if (length >= (int)sizeof small)
        vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}

char *arena_format(struct arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *text = arena_format_list(arena, format, arguments);
    va_end(arguments);
    return text;
}
