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
    const char *word;
    enum limit_unit unit;
} keys[LIMIT_KEY_COUNT] = {
#define ROW_KEY(name, word, unit, b, i, a, about) [LIMIT_##name] = {word, UNIT_##unit},
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

enum limit_unit limit_unit(enum limit_key key)
{
    return keys[key].unit;
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
    switch (key) {
    case LIMIT_HAND_BURST:
    case LIMIT_HAND_SUSTAINED:
        return (struct limit_range){FASTEST_HAND_MS, 5000};
    case LIMIT_BOUNCE:
        return (struct limit_range){FASTEST_BOUNCE_MS, 5000};
    case LIMIT_WEAK_HAND:
        return (struct limit_range){100, 1000};
    case LIMIT_BOUNCES:
        return (struct limit_range){1, 8};
    case LIMIT_STROKES:
        return (struct limit_range){3, LIMIT_STROKES_MOST};
    case LIMIT_EVENNESS:
        return (struct limit_range){100, 1000};
    default:
        break;
    }
    static const struct limit_range ranges[] = {[UNIT_MS] = {1, 5000},
                                                [UNIT_PERCENT] = {10, 1000},
                                                [UNIT_COUNT] = {1, 100},
                                                [UNIT_CM] = {0, 100}};
    return ranges[keys[key].unit];
}
