/* Whether the reader would get the same data from two files. */
#include "read/key_level.h"
#include "read/tidy.h"

static bool same_nodes(const struct node *a, const struct node *b, struct key_level level);

static bool same_text(const struct node *a, const struct node *b)
{
    return a->kind == NODE_SCALAR && b->kind == NODE_SCALAR && a->length == b->length &&
           a->style == b->style && a->literal == b->literal &&
           memcmp(a->bytes, b->bytes, a->length) == 0;
}

/* The key of a map that is spelled like this one; where the author chooses the keys, its place
   counts. */
static const struct node *find_pair(const struct node *map, const struct node *key, size_t place,
                                    bool ordered)
{
    size_t i = 0;
    for (const struct node *other = map->first; other; other = other->next->next, i++)
        if (same_text(key, other) && (!ordered || i == place))
            return other;
    return NULL;
}

static bool same_maps(const struct node *a, const struct node *b, struct key_level level)
{
    size_t place = 0;
    for (const struct node *key = a->first; key; key = key->next->next, place++) {
        const struct node *other = find_pair(b, key, place, !level.table);
        if (!other || !same_nodes(key->next, other->next, key_level_under(level, key->bytes)))
            return false;
    }
    return true;
}

static bool same_nodes(const struct node *a, const struct node *b, struct key_level level)
{
    if (a->kind != b->kind || a->length != b->length)
        return false;
    if (a->kind == NODE_SCALAR)
        return same_text(a, b);
    if (a->kind == NODE_MAP)
        return same_maps(a, b, level);
    const struct node *other = b->first;
    for (const struct node *item = a->first; item; item = item->next, other = other->next)
        if (!same_nodes(item, other, level))
            return false;
    return a->kind == NODE_LIST;
}

static const struct node *tree_of(struct read_source from, struct reader *reader)
{
    struct read_source source = read_without_mark(from);
    reader->source =
        (struct source){.name = source.name, .bytes = source.bytes, .length = source.length};
    struct node *root = tree_parse(reader);
    return diags_errors(reader->diags) ? NULL : root;
}

bool read_same_data(struct read_source a, struct read_source b, bool course)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct reader readers[2];
    for (int i = 0; i < 2; i++)
        readers[i] = (struct reader){.arena = arena,
                                     .scratch = arena,
                                     .nodes = arena,
                                     .diags = diags,
                                     .is_key = is_known_key};
    const struct node *old = tree_of(a, &readers[0]), *new = tree_of(b, &readers[1]);
    bool same = old && new &&same_nodes(old, new, key_level_of_file(course));
    arena_free(arena);
    return same;
}
