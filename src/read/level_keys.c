/* Levels of players: the built-in ones, and those of a course, which can change their figures. */
#include "read/scope.h"

enum { OF_LEVEL = 1 };

const struct limits *course_level(const struct course_context *course, const char *name)
{
    uint32_t number;
    for (; course; course = course->above)
        if (names_find(&course->levels, name, strlen(name), &number))
            return course->level_limits[number];
    return limits_find(name, strlen(name));
}

static void report_no_level(struct reader *reader, const struct entry *entry)
{
    struct names all = {0};
    for (int i = 0; i < LEVEL_COUNT; i++)
        names_add(&all, reader->arena, limits_builtin((enum player_level)i)->name, 0);
    if (reader->levels)
        names_join(&all, reader->levels, reader->arena);
    for (const struct course_context *course = reader->course; course; course = course->above)
        names_join(&all, &course->levels, reader->arena);
    bad_value(reader, entry, "%s", joined_words(reader, all.names.items, all.names.count));
    names_suggest(reader->diags, &all, reader->arena, entry->value->bytes, NULL, 0);
}

/* The level that the value names; a course file's own levels come first. NULL, and reported, if
   there is none. */
static const struct limits *entry_level(struct reader *reader, const struct entry *entry)
{
    const struct text *text = entry_text(reader, entry, "beginner, intermediate or advanced");
    uint32_t number;
    if (!text)
        return NULL;
    if (reader->levels && names_find(reader->levels, text->bytes, text->length, &number))
        return reader->level_limits.items[number];
    const struct limits *limits = course_level(reader->course, text->bytes);
    if (!limits)
        report_no_level(reader, entry);
    return limits;
}

void read_level(struct reader *reader, const struct entry *entry, void *target)
{
    struct settings *settings = ((struct scope *)target)->settings;
    const struct limits *limits = entry_level(reader, entry);
    if (!limits)
        return;
    settings->level = (struct words){entry->value->bytes, entry->value->at};
    settings->limits = limits;
}

/* ---- levels of a course ---------------------------------------------------------------------- */

static void read_like(struct reader *reader, const struct entry *entry, void *target)
{
    struct limits *own = target;
    const struct limits *like = entry_level(reader, entry);
    if (like)
        memcpy(own->values, like->values, sizeof own->values);
}

static void read_limit(struct reader *reader, const struct entry *entry, void *target)
{
    struct limits *own = target;
    enum limit_key key;
    uint32_t number;
    if (!limit_from_word(entry->name, &key))
        return;
    struct limit_range range = limit_range(key);
    if (!entry_number(reader, entry, (uint32_t)range.least, (uint32_t)range.most, &number))
        return;
    own->values[key] = (int32_t)number * (limit_unit(key) == UNIT_MS ? 1000 : 1);
}

static const struct key level_keys[] = {KEY("like", OF_LEVEL, read_like),
#define LIMIT_ROW(name, word, unit, beginner, intermediate, advanced, about)                       \
    KEY(word, OF_LEVEL, read_limit),
                                        LIMIT_KEYS(LIMIT_ROW)
#undef LIMIT_ROW
};
static const struct level_name level_levels[] = {{OF_LEVEL, "a level"}};
const struct key_table level_table = KEY_TABLE(level_keys, level_levels);

/* A level starts from `like`, else from the built-in one of its name, else from intermediate. */
static void read_own_level(struct reader *reader, const struct entry *entry)
{
    struct limits *own = arena_alloc(reader->arena, sizeof *own);
    const struct limits *built_in = limits_find(entry->name, strlen(entry->name));
    *own = *(built_in ? built_in : limits_builtin(LEVEL_INTERMEDIATE));
    own->name = entry->name;
    if (entry->value->kind == NODE_SCALAR)
        read_like(reader, entry, own);
    else if (!read_keys(reader, entry->value, &level_table, OF_LEVEL, own))
        return;
    names_add(reader->levels, reader->arena, entry->name, (uint32_t)reader->level_limits.count);
    *vector_push(&reader->level_limits, reader->arena) = own;
}

void read_levels(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    struct pairs pairs =
        pairs_of(reader, entry, "levels with their limits, such as {ours: {like: beginner}}");
    for (struct entry pair; pairs_next(&pairs, &pair);)
        read_own_level(reader, &pair);
}
