#include "read/names.h"

#include "diag/diag.h"

static inline const char *find(const struct names *names, uint64_t hash, const char *name,
                               size_t length, uint32_t *number)
{
    struct table_search search = table_search(&names->table, hash);
    for (size_t i; table_next(&search, &i);) {
        const char *known = names->names.items[i];
        const struct name_number *its = &names->numbers.items[i];
        if (its->length == length && memcmp(known, name, length) == 0) {
            *number = its->number;
            return known;
        }
    }
    return NULL;
}

void names_add(struct names *names, struct arena *arena, const char *name, uint32_t number)
{
    size_t length = strlen(name);
    uint64_t hash = hash_bytes(name, length);
    uint32_t earlier;
    if (find(names, hash, name, length, &earlier))
        return;
    table_add(&names->table, hash, names->names.count, arena);
    *vector_push(&names->names, arena) = name;
    *vector_push(&names->numbers, arena) = (struct name_number){number, (uint32_t)length};
}

void names_join(struct names *names, const struct names *more, struct arena *arena)
{
    for (size_t i = 0; i < more->names.count; i++)
        names_add(names, arena, more->names.items[i], more->numbers.items[i].number);
}

const char *names_find(const struct names *names, const char *name, size_t length, uint32_t *number)
{
    return find(names, hash_bytes(name, length), name, length, number);
}

static const char *const *all_names(const struct names *names, struct arena *arena,
                                    const char *const *fixed, size_t fixed_count, size_t *count)
{
    VECTOR(const char *) all = {0};
    for (size_t i = 0; i < fixed_count; i++)
        *vector_push(&all, arena) = fixed[i];
    for (size_t i = 0; i < names->names.count; i++)
        *vector_push(&all, arena) = names->names.items[i];
    *count = all.count;
    return all.items;
}

const char *names_nearest(const struct names *names, struct arena *arena, const char *wrong,
                          const char *const *fixed, size_t fixed_count)
{
    size_t count;
    const char *const *all = all_names(names, arena, fixed, fixed_count, &count);
    return diag_nearest_name(wrong, all, count);
}

void names_suggest(struct diags *diags, const struct names *names, struct arena *arena,
                   const char *wrong, const char *const *fixed, size_t fixed_count)
{
    size_t count;
    const char *const *all = all_names(names, arena, fixed, fixed_count, &count);
    diag_nearest_of(diags, wrong, all, count);
}
