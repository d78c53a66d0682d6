/* Levels of players: the built-in ones, and those of a course, which may change their figures. */
#include "read/scope.h"

#include <string.h>

enum { OF_LEVEL = 1 };

const struct limits *course_level(const struct course_context *course, const char *name)
{
    uint32_t number;
    for (; course; course = course->above)
        if (names_find(&course->levels, name, strlen(name), &number))
            return course->level_limits[number];
    return limits_find(name, strlen(name));
}

/* In a course file those that it has defined itself come first. */
static const struct limits *find_level(const struct reader *reader, const char *name)
{
    uint32_t number;
    if (reader->levels && names_find(reader->levels, name, strlen(name), &number))
        return reader->level_limits.items[number];
    return course_level(reader->course, name);
}

static const char *const level_names[] = {"beginner", "intermediate", "advanced"};

void read_level(struct reader *reader, const struct entry *entry, void *target)
{
    struct scope *scope = target;
    const struct text *text = entry_text(reader, entry, "beginner, intermediate or advanced");
    if (!text)
        return;
    const struct limits *limits = find_level(reader, text->bytes);
    if (!limits && entry_choice(reader, entry, level_names, 3) < 0)
        return;
    scope->settings->level = (struct words){text->bytes, text->at};
    scope->settings->limits = limits;
}

/* ---- levels of a course ---------------------------------------------------------------------- */

static const char level_expected[] = "beginner, intermediate, advanced or a level defined above";

static void read_like(struct reader *reader, const struct entry *entry, void *target)
{
    struct limits *own = target;
    const struct text *text = entry_text(reader, entry, level_expected);
    const struct limits *like = text ? find_level(reader, text->bytes) : NULL;
    if (text && !like)
        entry_choice(reader, entry, level_names, 3);
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

static const struct key level_keys[] = {{"like", OF_LEVEL, read_like},
#define LIMIT_ROW(name, word, unit, beginner, intermediate, advanced, about)                       \
    {word, OF_LEVEL, read_limit},
                                        LIMIT_KEYS(LIMIT_ROW)
#undef LIMIT_ROW
};
static const struct level_name level_levels[] = {{OF_LEVEL, "a level"}};
const struct key_table level_table = KEY_TABLE(level_keys, level_levels);

/* Without `like`, what the word has by itself, or an intermediate player's. */
static void read_own_level(struct reader *reader, const struct entry *entry, void *target)
{
    (void)target;
    struct limits *own = arena_alloc(reader->arena, sizeof *own);
    const struct limits *built_in = limits_find(entry->name, strlen(entry->name));
    *own = *(built_in ? built_in : limits_builtin(LEVEL_INTERMEDIATE));
    own->name = entry->name;
    if (entry->value->kind == NODE_SCALAR)
        read_like(reader, entry, own);
    else if (!read_keys(reader, entry->value, &level_table, OF_LEVEL, own))
        return;
    uint32_t number = (uint32_t)reader->level_limits.count;
    *vector_push(&reader->level_limits, reader->arena) = own;
    names_add(reader->levels, reader->arena, entry->name, strlen(entry->name), &number);
}

void read_levels(struct reader *reader, const struct entry *entry, void *target)
{
    read_free_keys(reader, entry, "levels with their limits, such as {ours: {like: beginner}}",
                   read_own_level, target);
}
