#include "model/limits.h"

#include <string.h>

#define VALUE_MS(value) ((value)*1000)
#define VALUE_PERCENT(value) (value)
#define VALUE_COUNT(value) (value)
#define VALUE_CM(value) (value)

static const struct limits levels[LEVEL_COUNT] = {
#define ROW_BEGINNER(name, word, unit, b, i, a, about) [LIMIT_##name] = VALUE_##unit(b),
#define ROW_INTERMEDIATE(name, word, unit, b, i, a, about) [LIMIT_##name] = VALUE_##unit(i),
#define ROW_ADVANCED(name, word, unit, b, i, a, about) [LIMIT_##name] = VALUE_##unit(a),
    [LEVEL_BEGINNER] = {"beginner", {LIMIT_KEYS(ROW_BEGINNER)}},
    [LEVEL_INTERMEDIATE] = {"intermediate", {LIMIT_KEYS(ROW_INTERMEDIATE)}},
    [LEVEL_ADVANCED] = {"advanced", {LIMIT_KEYS(ROW_ADVANCED)}},
};

static const struct {
    const char *word, *about;
    enum limit_unit unit;
} keys[LIMIT_KEY_COUNT] = {
#define ROW_KEY(name, word, unit, b, i, a, about) [LIMIT_##name] = {word, about, UNIT_##unit},
    LIMIT_KEYS(ROW_KEY)};

const struct limits *limits_builtin(enum player_level level)
{
    return &levels[level];
}

const struct limits *limits_find(const char *name, size_t length)
{
    for (int level = 0; level < LEVEL_COUNT; level++)
        if (strlen(levels[level].name) == length && memcmp(levels[level].name, name, length) == 0)
            return &levels[level];
    return NULL;
}

const struct limits *limits_or_usual(const struct limits *limits)
{
    return limits ? limits : &levels[LEVEL_ADVANCED];
}

enum limit_unit limit_unit(enum limit_key key)
{
    return keys[key].unit;
}

const char *limit_about(enum limit_key key)
{
    return keys[key].about;
}

bool limit_from_word(const char *word, enum limit_key *key)
{
    for (int i = 0; i < LIMIT_KEY_COUNT; i++)
        if (strcmp(keys[i].word, word) == 0) {
            *key = (enum limit_key)i;
            return true;
        }
    return false;
}

struct limit_range limit_range(enum limit_key key)
{
    static const struct limit_range of_units[] = {[UNIT_MS] = {1, 5000},
                                                  [UNIT_PERCENT] = {10, 1000},
                                                  [UNIT_COUNT] = {1, 100},
                                                  [UNIT_CM] = {0, 100}};
    static const struct limit_range of_keys[LIMIT_KEY_COUNT] = {
        [LIMIT_HAND_BURST] = {FASTEST_HAND_MS, 5000},
        [LIMIT_HAND_SUSTAINED] = {FASTEST_HAND_MS, 5000},
        [LIMIT_BOUNCE] = {FASTEST_BOUNCE_MS, 5000},
        [LIMIT_WEAK_HAND] = {100, 1000},
        [LIMIT_BOUNCES] = {1, 8},
        [LIMIT_STROKES] = {3, LIMIT_STROKES_MOST},
        [LIMIT_EVENNESS] = {100, 1000},
    };
    return of_keys[key].least ? of_keys[key] : of_units[keys[key].unit];
}
