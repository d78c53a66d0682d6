#include "base/table.h"

enum { FIRST_ROOM = 16 };

static void put(const struct table *table, struct table_slot new)
{
    size_t at = new.hash &(table->room - 1);
    while (table->slots[at].after)
        at = (at + 1) & (table->room - 1);
    table->slots[at] = new;
}

static void grow(struct table *table, struct arena *arena)
{
    struct table old = *table;
    table->room = old.room ? old.room * 2 : FIRST_ROOM;
    size_t bytes = table->room * sizeof *table->slots;
    table->slots = memset(arena ? arena_room(arena, bytes) : memory_alloc(bytes), 0, bytes);
    for (size_t i = 0; i < old.room; i++)
        if (old.slots[i].after)
            put(table, old.slots[i]);
    if (!arena)
        memory_free(old.slots);
}

void table_add(struct table *table, uint64_t hash, size_t number, struct arena *arena)
{
    if (number >= UINT32_MAX)
        memory_exhausted(SIZE_MAX);
    if (table->count * 2 >= table->room)
        grow(table, arena);
    put(table, (struct table_slot){table_short_hash(hash), (uint32_t)number + 1});
    table->count++;
}

void table_clear(struct table *table)
{
    if (table->count)
        memset(table->slots, 0, table->room * sizeof *table->slots);
    table->count = 0;
}

void table_release(struct table *table)
{
    memory_free(table->slots);
    *table = (struct table){0};
}
