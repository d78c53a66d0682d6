#include "read/key_level.h"

static const struct key_level bar_level = {&all_table, IN_BAR, NULL};
static const struct key_level voice_level = {&voice_table, ~0u, NULL};
static const struct key_level limits_level = {&level_table, ~0u, NULL};

static const struct step {
    const struct key_table *table;
    const char *key;
    struct key_level under;
} steps[] = {
    {&all_table, "exercises", {&all_table, IN_EXERCISE, NULL}},
    {&all_table, "bars", {&all_table, IN_BAR, NULL}},
    {&all_table, "pickup", {&all_table, IN_BAR, NULL}},
    {&all_table, "endings", {NULL, 0, &bar_level}},
    {&all_table, "feet", {&all_table, IN_FEET, NULL}},
    {&all_table, "right", {&all_table, IN_RIGHT, NULL}},
    {&all_table, "left", {&all_table, IN_LEFT, NULL}},
    {&all_table, "play", {&limb_table, ~0u, NULL}},
    {&all_table, "show", {&show_table, ~0u, NULL}},
    {&all_table, "page", {&page_table, ~0u, NULL}},
    {&all_table, "kit", {&kit_table, ~0u, NULL}},
    {&all_table, "levels", {NULL, 0, &limits_level}},
    {&kit_table, "voices", {NULL, 0, &voice_level}},
    {&all_table, "vary", {&vary_table, ~0u, NULL}},
    {&vary_table, "accents", {&vary_choice_table, ~0u, NULL}},
    {&vary_table, "ghosts", {&vary_choice_table, ~0u, NULL}},
    {&vary_table, "kick", {&vary_choice_table, ~0u, NULL}},
    {&vary_table, "hat-foot", {&vary_choice_table, ~0u, NULL}},
};

struct key_level key_level_of_file(bool course)
{
    return (struct key_level){&all_table, course ? IN_COURSE : IN_LESSON, NULL};
}

struct key_level key_level_under(struct key_level level, const char *key)
{
    if (level.under)
        return *level.under;
    for (size_t i = 0; level.table && i < sizeof steps / sizeof *steps; i++)
        if (steps[i].table == level.table && strcmp(steps[i].key, key) == 0)
            return steps[i].under;
    return (struct key_level){0};
}

size_t key_level_row(struct key_level level, const char *key)
{
    size_t other = level.table->count;
    for (size_t i = 0; i < level.table->count; i++) {
        if (strcmp(level.table->keys[i].name, key) == 0)
            return i;
        if (!*level.table->keys[i].name)
            other = i;
    }
    return other;
}
