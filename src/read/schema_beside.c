#include "read/schema_beside.h"

#include "read/scope.h"

#include <assert.h>

/* `key` cannot stand beside `other`, unless that has the value `unless`. */
static const struct {
    unsigned where;
    const char *key, *other, *unless;
} excluded[] = {
    {IN_MUSIC, "rudiment", "rhythm", NULL},
    {IN_MUSIC, "rudiment", "sticking", NULL},
    {IN_MUSIC, "rudiment", "subdivision", "none"},
    {IN_MUSIC, "right", "rhythm", NULL},
    {IN_MUSIC, "right", "sticking", NULL},
    {IN_MUSIC, "left", "rhythm", NULL},
    {IN_MUSIC, "left", "sticking", NULL},
    {IN_MUSIC, "feet", "kick", "none"},
    {IN_MUSIC, "feet", "hat-foot", "none"},
    {IN_BAR, "rhythm", "subdivision", "none"},
    {IN_EXERCISE, "vary", "pickup", NULL},
    {IN_EXERCISE, "vary", "endings", NULL},
    {IN_EXERCISE, "vary", "right", NULL},
    {IN_FEET | IN_HAND, "rhythm", "subdivision", NULL},
};

/* The shape that holds for the whole map if it has the key; a new one if there is none yet. */
static json_t *shape_beside(json_t *map, const char *key)
{
    json_t *all = json_object_get(map, "dependentSchemas");
    if (!all)
        json_object_set_new(map, "dependentSchemas", all = json_object());
    json_t *shape = json_object_get(all, key);
    if (!shape)
        json_object_set_new(all, key, shape = json_pack("{s:s}", "type", "object"));
    return shape;
}

static json_t *properties_beside(json_t *map, const char *key)
{
    json_t *shape = shape_beside(map, key), *properties = json_object_get(shape, "properties");
    if (!properties)
        json_object_set_new(shape, "properties", properties = json_object());
    return properties;
}

static void exclude(json_t *map, const char *key, const char *other, const char *unless)
{
    json_object_set_new(properties_beside(map, key), other,
                        unless ? json_pack("{s:s}", "const", unless) : json_false());
}

static void need(json_t *map, const char *key, const char *other)
{
    json_object_set_new(properties_beside(map, key), other, json_true());
    json_object_set_new(shape_beside(map, key), "required", json_pack("[s]", other));
}

/* A practice form has no music of its own. */
static void exclude_music(json_t *map)
{
    for (size_t i = 0; form_excludes[i]; i++)
        exclude(map, "sequence", form_excludes[i], NULL);
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++)
        exclude(map, "sequence", voice_builtin((enum voice_builtin)i)->name, NULL);
    exclude(map, "sequence", "kick", NULL);
}

static json_t *only_keys(const char *const *keys)
{
    json_t *list = json_array();
    for (; *keys; keys++)
        json_array_append_new(list, json_string(*keys));
    return json_pack("{s:s, s:{s:o}}", "type", "object", "propertyNames", "enum", list);
}

static json_t *parsed(const char *text)
{
    json_t *shape = json_loads(text, 0, NULL);
    assert(shape);
    return shape;
}

/* A map with this key. */
static json_t *needed(const char *key)
{
    return json_pack("{s:s, s:{s:b}, s:[s]}", "type", "object", "properties", key, true, "required",
                     key);
}

/* What can stand beside a sign in place of the notes. `slashes: no` is no sign. */
static void add_signs(json_t *map)
{
    for (size_t i = 0; i < SIGN_KEYS; i++) {
        json_t *only = only_keys(sign_keys[i].beside);
        if (strcmp(sign_keys[i].sign, "slashes") != 0) {
            json_object_update_new(shape_beside(map, sign_keys[i].sign), only);
            continue;
        }
        json_object_set_new(
            map, "if",
            parsed(
                "{\"type\": \"object\", \"required\": [\"slashes\"], \"properties\": {\"slashes\": "
                "{\"enum\": [\"yes\", \"on\", \"true\", true]}}}"));
        json_object_set_new(map, "then", only);
    }
}

void schema_add_beside(json_t *map, unsigned where)
{
    for (size_t i = 0; i < sizeof excluded / sizeof *excluded; i++)
        if (excluded[i].where & where)
            exclude(map, excluded[i].key, excluded[i].other, excluded[i].unless);
    if (where == IN_EXERCISE) {
        exclude_music(map);
        need(map, "left", "right");
        json_object_update_new(shape_beside(map, "rhythm"),
                               parsed("{\"type\": \"object\", \"properties\": {\"bars\": {\"not\": "
                                      "{\"const\": \"resolve\"}}}}"));
        json_object_set_new(properties_beside(map, "vary"), "bars",
                            parsed("{\"not\": {\"type\": \"array\"}}"));
    } else if (where == IN_BAR) {
        add_signs(map);
        json_object_update_new(
            shape_beside(map, "times"),
            parsed(
                "{\"anyOf\": [{\"type\": \"object\", \"properties\": {\"times\": {\"const\": 1}}},"
                "{\"type\": \"object\", \"properties\": {\"repeat\": {\"const\": 1}}}]}"));
    }
}

void schema_add_vary(json_t *map)
{
    static const char *const changing[] = {"R",    "L",        "accents", "ghosts",
                                           "kick", "hat-foot", "rotate",  "permute"};
    json_t *any = json_array();
    for (size_t i = 0; i < sizeof changing / sizeof *changing; i++)
        json_array_append_new(any, needed(changing[i]));
    json_object_set_new(map, "anyOf", any);
    json_object_set_new(properties_beside(map, "permute"), "distinct",
                        parsed("{\"not\": {\"const\": \"rotation\"}}"));
}

json_t *schema_pickup(void)
{
    json_t *shape = parsed("{\"type\": \"object\", \"allOf\": [{\"$ref\": \"#/$defs/bar\"}],"
                           "\"properties\": {\"same\": false, \"rest\": false}}");
    json_object_set_new(
        shape, "anyOf",
        json_pack("[o,o,o]", needed("rhythm"), needed("rudiment"), needed("right")));
    return shape;
}
