#include "schema_words.h"

#include "base/buffer.h"
#include "read/read.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

typedef void word_found(const char *level, const char *key, const char *word);

static void add_words(const json_t *schema, const json_t *shape, const char *level, const char *key,
                      word_found *found)
{
    static const char path[] = "#/$defs/";
    const char *to = json_string_value(json_object_get(shape, "$ref"));
    size_t i;
    json_t *word;
    if (to && strncmp(to, path, strlen(path)) == 0)
        shape = json_object_get(json_object_get(schema, "$defs"), to + strlen(path));
    json_array_foreach(json_object_get(shape, "enum"), i, word)
    {
        char number[20];
        snprintf(number, sizeof number, "%lld", (long long)json_integer_value(word));
        if (!json_is_boolean(word))
            found(level, key, json_is_string(word) ? json_string_value(word) : number);
    }
    json_array_foreach(json_object_get(shape, "anyOf"), i,
                       word) if (!json_object_get(word, "items"))
        add_words(schema, word, level, key, found);
}

void each_schema_word(word_found *found)
{
    static const struct {
        const char *def, *level;
    } levels[] = {{"exercise", "an exercise"}, {"bar", "a bar"},           {"feet", "'feet'"},
                  {"show", "'show'"},          {"page", "'page'"},         {"kit", "'kit'"},
                  {"own-voice", "a voice"},    {"level-limits", "a level"}};
    struct buffer text = {0};
    read_schema(false, &text);
    json_t *schema = json_loads(buffer_text(&text), 0, NULL), *shape;
    const char *key;
    json_object_foreach(json_object_get(schema, "properties"), key, shape)
        add_words(schema, shape, "a lesson", key, found);
    for (size_t i = 0; i < sizeof levels / sizeof *levels; i++) {
        const json_t *map = json_object_get(json_object_get(schema, "$defs"), levels[i].def);
        json_object_foreach(json_object_get(map, "properties"), key, shape)
            add_words(schema, shape, levels[i].level, key, found);
    }
    json_decref(schema);
    buffer_release(&text);
}
