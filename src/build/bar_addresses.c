/* The counts of a bar: which list of them holds there, and the places that they mean. */
#include "build/build_int.h"

#include <string.h>

const char *bar_words(const struct bar_builder *bar)
{
    const struct exercise *exercise = bar->exercise->exercise;
    bool alike = exercise->bars_kind == BARS_LIST && exercise->bar_count > 1 &&
                 exercise->bars[0].rhythm && exercise->bars[0].rhythm == exercise->bars[1].rhythm;
    if (bar->index == UINT32_MAX)
        return " of the pickup";
    if (!bar->several_bars || alike)
        return "";
    return arena_format(bar->builder->arena, " of bar %u", bar->index + 1);
}

/* An address of the exercise may name a beat that only some of its bars have. A beat that no bar
   has is reported at the end of the exercise. */
static void report_unresolved(struct bar_builder *bar, const struct address *address,
                              const struct resolved *resolved, bool shared)
{
    if (resolved->outcome == ADDRESS_FOUND)
        return;
    if (shared && resolved->outcome == ADDRESS_NO_BEAT && address->bar == 0 && bar->several_bars)
        return;
    if (builder_report_once(bar->builder, address))
        address_report(&bar->builder->frames, &bar->counted, address, resolved);
}

static const struct resolved *look_up(struct bar_builder *bar, const struct address *address,
                                      bool shared)
{
    struct builder *builder = bar->builder;
    builder_use(builder, bar->counted.otherwise);
    if (!shared || !bar->counted.grid) {
        address_resolve(&builder->frames, &bar->counted, address, &builder->resolved);
        report_unresolved(bar, address, &builder->resolved, shared);
        return &builder->resolved;
    }
    uint64_t hash = hash_join((uintptr_t)address, (uintptr_t)bar->counted.grid);
    struct table_search search = table_search(&builder->known_table, hash);
    for (size_t i; table_next(&search, &i);) {
        const struct known_address *known = &builder->known.items[i];
        if (known->address == address && known->grid == bar->counted.grid)
            return &known->resolved;
    }
    table_add(&builder->known_table, hash, builder->known.count, builder->arena);
    struct known_address *new = vector_push(&builder->known, builder->arena);
    new->address = address;
    new->grid = bar->counted.grid;
    address_resolve(&builder->frames, &bar->counted, address, &new->resolved);
    new->resolved.positions = arena_copy(builder->arena, new->resolved.positions,
                                         new->resolved.count, sizeof *new->resolved.positions);
    report_unresolved(bar, address, &new->resolved, shared);
    return &new->resolved;
}

const struct resolved *bar_resolve(struct bar_builder *bar, const struct address *address,
                                   bool shared)
{
    const struct resolved *resolved = look_up(bar, address, shared);
    builder_count(bar->builder, resolved->count, address->at);
    return resolved;
}

bool address_in_bar(struct bar_builder *bar, const struct address *address, bool shared)
{
    if (!builder_count(bar->builder, 1, address->at))
        return false;
    bool here = address->bar == 0 || (bar->index != UINT32_MAX && address->bar == bar->index + 1);
    if (!here && !shared && builder_report_once(bar->builder, address)) {
        diag_add(bar->builder->diags, DIAG_UNKNOWN_COUNT, address->at,
                 "this count is written in one bar but names another, bar %u", address->bar);
        diag_expected(bar->builder->diags, "a count without a bar number");
    }
    return here;
}

const struct address_list *bar_addresses(const struct bar_builder *bar,
                                         const struct address_bars *own,
                                         const struct address_bars *inherited)
{
    const struct address_bars *chosen = own;
    if (own->count == 0) {
        if (bar->index == UINT32_MAX || inherited->count == 0)
            return NULL;
        chosen = inherited;
        builder_use(bar->builder, chosen);
    }
    uint32_t index = bar->index == UINT32_MAX ? 0 : bar->index;
    return &chosen->bars[chosen->count == 1 ? 0 : index % chosen->count];
}
