#include "course/output_owners.h"

#include "base/table.h"
#include "base/vector.h"
#include "model/format.h"

struct owned {
    const char *path;
    size_t lesson;
};

struct output_owners {
    struct arena *arena; /* of all that follows */
    struct table table;  /* of outputs by their paths */
    VECTOR(struct owned) outputs;
};

struct output_owners *output_owners_new(void)
{
    struct output_owners *owners = memory_alloc(sizeof *owners);
    *owners = (struct output_owners){.arena = arena_new()};
    return owners;
}

void output_owners_free(struct output_owners *owners)
{
    if (!owners)
        return;
    arena_free(owners->arena);
    memory_free(owners);
}

static const struct owned *find(const struct output_owners *owners, const char *path)
{
    struct table_search search = table_search(&owners->table, hash_text(path));
    for (size_t i; table_next(&search, &i);)
        if (strcmp(owners->outputs.items[i].path, path) == 0)
            return &owners->outputs.items[i];
    return NULL;
}

size_t output_owners_claim(struct output_owners *owners, const char *path, size_t lesson)
{
    const struct owned *known = find(owners, path);
    if (known)
        return known->lesson;
    table_add(&owners->table, hash_text(path), owners->outputs.count, owners->arena);
    *vector_push(&owners->outputs, owners->arena) =
        (struct owned){arena_copy_text(owners->arena, path, strlen(path)), lesson};
    return lesson;
}

bool output_owners_has(const struct output_owners *owners, const char *path)
{
    return find(owners, path);
}

/* ---- names that clash --------------------------------------------------------------------- */

static bool ends_in_number(const char *name, size_t length)
{
    size_t digits = 0;
    while (digits < length && name[length - 1 - digits] >= '0' && name[length - 1 - digits] <= '9')
        digits++;
    return digits && digits < length && name[length - 1 - digits] == '-';
}

/* Only formats with a dot inside their ending and those with a file for each page can clash. */
bool output_may_clash(const char *path)
{
    size_t length = strlen(path);
    for (int i = 1; i < FORMAT_COUNT; i++) {
        const struct format_row *row = &format_rows[i];
        size_t ending = strlen(row->ending);
        bool has_ending = length > ending && strcmp(path + length - ending, row->ending) == 0;
        bool numbered = row->files == FORMAT_PER_PAGE && ends_in_number(path, length - ending);
        if (has_ending && (numbered || strchr(row->ending + 1, '.')))
            return true;
    }
    return false;
}
