#include "lesson_keys.h"

#include "base/utf8.h"

#include <check.h>
#include <stdbool.h>
#include <string.h>
#include <yaml.h>

struct file {
    const char *bytes;
    size_t length;
    yaml_document_t document;
    void (*found)(const struct lesson_key *key);
};

/* The level of what stands under a key; NULL: none with keys of its own. */
static const char *level_under(const char *level, const char *name)
{
    static const struct {
        const char *level, *name, *under; /* NULL: any */
    } steps[] = {
        {NULL, "exercises", "an exercise"},
        {NULL, "show", "'show'"},
        {NULL, "page", "'page'"},
        {NULL, "kit", "'kit'"},
        {"an exercise", "bars", "a bar"},
        {"an exercise", "pickup", "a bar"},
        {"an exercise", "endings", "passes"},
        {"passes", NULL, "a bar"},
        {"'kit'", "voices", "names"},
        {"names", NULL, "a voice"},
        {NULL, "levels", "level names"},
        {"level names", NULL, "a level"},
        {NULL, "feet", "'feet'"},
        {"'feet'", "play", "'play' of the feet"},
        {NULL, "right", "'right'"},
        {NULL, "left", "'left'"},
        {"'right'", "play", "'play' of the right hand"},
        {"'left'", "play", "'play' of the left hand"},
        {"an exercise", "vary", "'vary'"},
        {"'vary'", "accents", "a choice of 'vary'"},
        {"'vary'", "ghosts", "a choice of 'vary'"},
        {"'vary'", "kick", "a choice of 'vary'"},
        {"'vary'", "hat-foot", "a choice of 'vary'"},
        {NULL, "play", "'play'"},
    };
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if ((!steps[i].level || strcmp(steps[i].level, level) == 0) &&
            (!steps[i].name || strcmp(steps[i].name, name) == 0))
            return steps[i].under;
    return NULL;
}

/* libyaml counts characters. */
static size_t byte_at(const struct file *file, size_t character)
{
    size_t byte = 0;
    while (character-- > 0 && byte < file->length) {
        uint32_t code_point;
        byte += utf8_decode(file->bytes + byte, file->length - byte, &code_point);
    }
    return byte;
}

static const yaml_node_t *node_of(struct file *file, int number)
{
    return yaml_document_get_node(&file->document, number);
}

/* From the key to the next one; the last from the value before it, or, in a block, to its end. */
static void find_cut(struct file *file, const yaml_node_t *map, const yaml_node_pair_t *pair,
                     struct lesson_key *key)
{
    const yaml_node_pair_t *first = map->data.mapping.pairs.start;
    const yaml_node_t *value = node_of(file, pair->value);
    bool flow = map->data.mapping.style == YAML_FLOW_MAPPING_STYLE;
    key->from = byte_at(file, node_of(file, pair->key)->start_mark.index);
    if (map->data.mapping.pairs.top - first < 2) { /* {} is a map, too */
        key->to = flow ? byte_at(file, value->end_mark.index) : key->from;
        return;
    }
    if (pair + 1 < map->data.mapping.pairs.top) {
        key->to = byte_at(file, node_of(file, pair[1].key)->start_mark.index);
        return;
    }
    if (flow)
        key->from = byte_at(file, node_of(file, pair[-1].value)->end_mark.index);
    key->to = byte_at(file, value->end_mark.index);
    while (key->to > key->from && strchr(" \n", file->bytes[key->to - 1]))
        key->to--;
}

static void find_value(struct file *file, const yaml_node_t *value, struct lesson_key *key)
{
    if (value->start_mark.line != value->end_mark.line)
        return;
    key->value_from = byte_at(file, value->start_mark.index);
    key->value_to = byte_at(file, value->end_mark.index);
}

/* From behind the last but one to the end of the last. */
static void find_item(struct file *file, int before, int last, struct lesson_key *key)
{
    key->item_from = byte_at(file, node_of(file, before)->end_mark.index);
    key->item_to = byte_at(file, node_of(file, last)->end_mark.index);
    while (key->item_to > key->item_from && strchr(" \n", file->bytes[key->item_to - 1]))
        key->item_to--;
}

/* `chosen`: the keys of a map are the author's. */
static void find_parts(struct file *file, const yaml_node_t *value, bool chosen,
                       struct lesson_key *key)
{
    const yaml_node_item_t *item = value->data.sequence.items.top;
    const yaml_node_pair_t *pair = value->data.mapping.pairs.top;
    if (value->type == YAML_SCALAR_NODE)
        find_value(file, value, key);
    else if (value->type == YAML_SEQUENCE_NODE && item - value->data.sequence.items.start > 1)
        find_item(file, item[-2], item[-1], key);
    else if (value->type == YAML_MAPPING_NODE && chosen &&
             pair - value->data.mapping.pairs.start > 1)
        find_item(file, pair[-2].value, pair[-1].value, key);
}

static bool has_own_keys(const char *level)
{
    return level && strcmp(level, "passes") != 0 && strcmp(level, "names") != 0 &&
           strcmp(level, "level names") != 0;
}

static void walk(struct file *file, int number, const char *level)
{
    const yaml_node_t *node = node_of(file, number);
    if (node->type == YAML_SEQUENCE_NODE)
        for (yaml_node_item_t *item = node->data.sequence.items.start;
             item < node->data.sequence.items.top; item++)
            walk(file, *item, level);
    if (node->type != YAML_MAPPING_NODE)
        return;
    for (yaml_node_pair_t *pair = node->data.mapping.pairs.start;
         pair < node->data.mapping.pairs.top; pair++) {
        const char *name = (const char *)node_of(file, pair->key)->data.scalar.value;
        struct lesson_key key = {.level = level, .name = name};
        const char *under = level_under(level, name);
        find_cut(file, node, pair, &key);
        find_parts(file, node_of(file, pair->value), !has_own_keys(under), &key);
        file->found(&key);
        if (under)
            walk(file, pair->value, under);
    }
}

void each_key(const char *bytes, size_t length, const char *level,
              void (*found)(const struct lesson_key *key))
{
    struct file file = {.bytes = bytes, .length = length, .found = found};
    yaml_parser_t parser;
    ck_assert_int_eq(yaml_parser_initialize(&parser), 1);
    yaml_parser_set_input_string(&parser, (const unsigned char *)bytes, length);
    ck_assert_int_eq(yaml_parser_load(&parser, &file.document), 1);
    walk(&file, 1, level);
    yaml_document_delete(&file.document);
    yaml_parser_delete(&parser);
}
