#include "read/derive.h"

#include "base/utf8.h"
#include "read/tidy.h"
#include "read/tidy_tree.h"

/* ---- copies without comments -------------------------------------------------------------- */

static struct tidy_node *copy_node(const struct tidy_node *node, struct arena *arena);

static struct tidy_entry *copy_entry(const struct tidy_entry *entry, struct arena *arena)
{
    struct tidy_entry *copy = arena_alloc(arena, sizeof *copy);
    copy->key = entry->key;
    copy->value = copy_node(entry->value, arena);
    copy->colon = true; /* in braces, too */
    return copy;
}

static void append(struct tidy_node *node, struct tidy_entry *entry)
{
    struct tidy_entry **end = &node->first;
    while (*end)
        end = &(*end)->next;
    *end = entry;
    node->count++;
}

static struct tidy_node *copy_node(const struct tidy_node *node, struct arena *arena)
{
    struct tidy_node *copy = arena_alloc(arena, sizeof *copy);
    *copy = *node;
    copy->foot = (struct tidy_lines){0};
    if (node->kept || node->kind == TIDY_TEXT)
        return copy;
    copy->first = NULL;
    copy->count = 0;
    for (const struct tidy_entry *entry = node->first; entry; entry = entry->next)
        append(copy, copy_entry(entry, arena));
    return copy;
}

static struct stretch stretch_of(const char *text)
{
    return (struct stretch){text, strlen(text)};
}

static struct tidy_node *text_node(const char *text, struct arena *arena)
{
    struct tidy_node *node = arena_alloc(arena, sizeof *node);
    *node =
        (struct tidy_node){.kind = TIDY_TEXT, .text = stretch_of(text), .value = stretch_of(text)};
    return node;
}

static struct tidy_entry *new_entry(const char *key, struct tidy_node *value, struct arena *arena)
{
    struct tidy_entry *entry = arena_alloc(arena, sizeof *entry);
    *entry = (struct tidy_entry){.key = text_node(key, arena), .value = value, .colon = true};
    return entry;
}

/* ---- changes ------------------------------------------------------------------------------ */

static bool is_key(const struct tidy_entry *entry, const char *key)
{
    const struct stretch value = entry->key->value;
    return value.length == strlen(key) && memcmp(value.bytes, key, value.length) == 0;
}

static struct tidy_entry *find_entry(const struct tidy_node *map, const char *key)
{
    struct tidy_entry *entry = map->first;
    while (entry && !is_key(entry, key))
        entry = entry->next;
    return entry;
}

/* Takes an entry out of its map; NULL if there is none. */
static struct tidy_entry *take_entry(struct tidy_node *map, const char *key)
{
    for (struct tidy_entry **at = &map->first; *at; at = &(*at)->next)
        if (is_key(*at, key)) {
            struct tidy_entry *entry = *at;
            *at = entry->next;
            entry->next = NULL;
            map->count--;
            return entry;
        }
    return NULL;
}

static struct tidy_node *new_map(bool flow, struct arena *arena)
{
    struct tidy_node *map = arena_alloc(arena, sizeof *map);
    *map = (struct tidy_node){.kind = TIDY_MAP, .flow = flow, .text = stretch_of("{}")};
    return map;
}

/* Parses entries as those of a map in braces. */
static struct tidy_node *parse_entries(const char *text, struct arena *arena)
{
    struct tidy_file file;
    const char *braces = arena_format(arena, "{%s}", text);
    return tidy_parse((struct read_source){"", braces, strlen(braces)}, arena, &file) ? file.root
                                                                                      : NULL;
}

/* A map of one's own may have comments, and then stays as it is: false. */
static bool add_entries(struct tidy_node *map, const char *key, const char *text,
                        struct arena *arena)
{
    struct tidy_entry *own = find_entry(map, key);
    struct tidy_node *more = parse_entries(text, arena);
    if (!own)
        append(map, own = new_entry(key, new_map(true, arena), arena));
    if (!more || own->value->kept || own->value->kind != TIDY_MAP)
        return false;
    for (struct tidy_entry *entry = more->first, *next; entry; entry = next) {
        next = entry->next;
        entry->next = NULL;
        char *name = arena_copy_text(arena, entry->key->value.bytes, entry->key->value.length);
        take_entry(own->value, name);
        append(own->value, entry);
    }
    return true;
}

static bool change(struct tidy_node *map, const struct derived_map *changes, struct arena *arena)
{
    for (size_t i = 0; i < changes->count; i++) {
        const struct derived_key *key = &changes->keys[i];
        if (key->entries) {
            if (!add_entries(map, key->key, key->text, arena))
                return false;
            continue;
        }
        take_entry(map, key->key);
        if (key->text)
            append(map, new_entry(key->key, text_node(key->text, arena), arena));
    }
    return true;
}

/* ---- one line for each exercise ----------------------------------------------------------- */

/* Whether a value can stand in braces, on one line. */
static bool fits_braces(const struct tidy_node *node)
{
    bool bracket = node->text.length && strchr("[{", node->text.bytes[0]);
    bool quoted = node->text.length && strchr("\"'", node->text.bytes[0]);
    if (node->kind != TIDY_TEXT)
        return node->flow && !node->kept &&
               !memchr(node->text.bytes ? node->text.bytes : "", '\n', node->text.length);
    if (node->block_text || memchr(node->text.bytes, '\n', node->text.length))
        return false;
    for (size_t i = 0; i < node->text.length && !bracket && !quoted; i++)
        if (strchr(",[]{}", node->text.bytes[i]))
            return false;
    return true;
}

static bool fits_line(const struct tidy_node *map)
{
    enum { WIDTH = 96 };
    size_t width = 6;
    for (const struct tidy_entry *entry = map->first; entry; entry = entry->next) {
        width += entry->key->text.length + entry->value->text.length + 4;
        for (const struct tidy_entry *in = entry->value->first; in; in = in->next)
            width += (in->key ? in->key->text.length : 0) + in->value->text.length + 4;
        if (!fits_braces(entry->value))
            return false;
    }
    return width <= WIDTH;
}

static void put_in_braces(struct tidy_node *list)
{
    bool all = true;
    for (const struct tidy_entry *item = list->first; item; item = item->next)
        all &= fits_line(item->value);
    for (struct tidy_entry *item = list->first; item && all; item = item->next) {
        item->value->flow = true;
        item->value->text = stretch_of("{}"); /* not empty */
    }
}

/* ---- the lesson --------------------------------------------------------------------------- */

/* What the exercise says of itself alone, and copies do not. */
static const char *const own_keys[] = {"title", "subtitle", "id", "text", "vary", NULL};
/* What means the same for a lesson of such exercises. */
static const char *const shared_keys[] = {"level", "time",  "tempo", "subdivision", "counting",
                                          "swing", "stems", "beams", "sticking",    NULL};

static const struct tidy_node *find_exercise(const struct tidy_node *root, size_t index)
{
    const struct tidy_entry *list = find_entry(root, "exercises");
    const struct tidy_entry *item = list ? list->value->first : NULL;
    while (item && index-- > 0)
        item = item->next;
    return item && item->value->kind == TIDY_MAP && !item->value->kept ? item->value : NULL;
}

static bool is_changed(const struct derivation *derivation, const char *key)
{
    for (size_t i = 0; i < derivation->copy_count; i++)
        for (size_t k = 0; k < derivation->copies[i].count; k++)
            if (strcmp(derivation->copies[i].keys[k].key, key) == 0)
                return true;
    return false;
}

static void share_keys(const struct derivation *derivation, struct tidy_node *lesson,
                       struct tidy_node *exercise)
{
    for (size_t i = 0; shared_keys[i]; i++) {
        if (is_changed(derivation, shared_keys[i]))
            continue;
        struct tidy_entry *entry = take_entry(exercise, shared_keys[i]);
        if (!entry)
            continue;
        take_entry(lesson, shared_keys[i]);
        append(lesson, entry);
    }
}

static bool build_lesson(const struct derivation *derivation, struct tidy_node *lesson,
                         struct tidy_node *exercise, struct arena *arena)
{
    struct tidy_node *list = arena_alloc(arena, sizeof *list);
    list->kind = TIDY_LIST;
    for (size_t i = 0; own_keys[i]; i++)
        take_entry(exercise, own_keys[i]);
    take_entry(lesson, "exercises");
    share_keys(derivation, lesson, exercise);
    bool good = change(lesson, &derivation->lesson, arena);
    for (size_t i = 0; i < derivation->copy_count && good; i++) {
        struct tidy_node *copy = copy_node(exercise, arena);
        copy->flow = false;
        good = change(copy, &derivation->copies[i], arena);
        struct tidy_entry *item = arena_alloc(arena, sizeof *item);
        item->value = copy;
        append(list, item);
    }
    put_in_braces(list);
    append(lesson, new_entry("exercises", list, arena));
    return good;
}

bool read_derive(struct read_source source, const struct derivation *derivation, struct buffer *out)
{
    struct arena *arena = arena_new();
    struct tidy_file file;
    struct buffer text = {0};
    const struct tidy_node *exercise = NULL;
    if (tidy_parse(read_without_mark(source), arena, &file) && file.root->kind == TIDY_MAP)
        exercise = find_exercise(file.root, derivation->exercise);
    bool good = exercise != NULL;
    if (good) {
        struct tidy_file new = {.root = copy_node(file.root, arena)};
        new.root->flow = false;
        good = build_lesson(derivation, new.root, copy_node(exercise, arena), arena);
        tidy_write(&new, false, arena, &text);
    }
    /* A second time, now that the new texts are read as what they are. */
    struct read_source once = {"", buffer_text(&text), text.length};
    if (good) {
        buffer_add_text(out, derivation->comment);
        buffer_add_text(out, "\n");
        good = read_tidy(once, false, out);
    }
    buffer_release(&text);
    arena_free(arena);
    return good;
}
