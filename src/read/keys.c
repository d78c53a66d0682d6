#include "read/keys.h"

#include <string.h>

static const char *shown(struct reader *reader, const struct text *text)
{
    enum { SHOWN = 60 };
    if (text->length <= SHOWN)
        return text->bytes;
    size_t end = SHOWN;
    while (end > 0 && ((unsigned char)text->bytes[end] & 0xC0) == 0x80)
        end--;
    return arena_format(reader->arena, "%.*s...", (int)end, text->bytes);
}

/* Texts of findings that would only be counted are not made: there may be a million. */
static bool worth_telling(const struct reader *reader)
{
    return diags_have_room(reader->diags, reader->source.name);
}

/* The large table is that of lessons, exercises and bars: nearly all keys are looked up in it. */
enum { LARGE_TABLE = 24 };

/* Where a key of the large table is sought first: all but one of them have such a slot of their
   own. The name is not empty. */
static uint8_t key_slot(const char *name, size_t length)
{
    unsigned first = (unsigned char)name[0], last = (unsigned char)name[length - 1];
    return (uint8_t)(first + 22 * last + 13 * (unsigned)length);
}

static void fill_slots(struct reader *reader, const struct key_table *table)
{
    for (size_t row = 0; row < table->count; row++) {
        size_t length = strlen(table->keys[row].name);
        uint8_t slot = key_slot(table->keys[row].name, length);
        while (reader->key_rows[slot])
            slot++; /* and from the last to the first */
        reader->key_rows[slot] = (uint8_t)(row + 1);
        reader->key_lengths[row] = (uint8_t)length;
    }
}

static const struct key *find_by_slot(struct reader *reader, const struct key_table *table,
                                      const struct node *name)
{
    if (reader->key_lengths[0] == 0)
        fill_slots(reader, table);
    if (name->length == 0)
        return NULL;
    for (uint8_t slot = key_slot(name->bytes, name->length);; slot++) {
        size_t row = reader->key_rows[slot];
        if (row == 0)
            return NULL;
        const struct key *key = &table->keys[row - 1];
        if (reader->key_lengths[row - 1] == name->length &&
            memcmp(key->name, name->bytes, name->length) == 0)
            return key;
    }
}

static const struct key *find_key(struct reader *reader, const struct key_table *table,
                                  const struct node *name)
{
    if (table->count > LARGE_TABLE)
        return find_by_slot(reader, table, name);
    for (size_t i = 0; i < table->count; i++) {
        const char *known = table->keys[i].name;
        if (known[0] == name->bytes[0] && strcmp(known, name->bytes) == 0)
            return &table->keys[i];
    }
    return NULL;
}

static const char *level_words(const struct key_table *table, unsigned where)
{
    for (size_t i = 0; i < table->level_count; i++)
        if (table->levels[i].where & where)
            return table->levels[i].words;
    return "this map";
}

static void report_unknown_key(struct reader *reader, const struct key_table *table, unsigned where,
                               const struct text *name)
{
    struct diags *diags = reader->diags;
    diag_add(diags, DIAG_UNKNOWN_KEY, name->at, "%s has no key '%s'", level_words(table, where),
             worth_telling(reader) ? shown(reader, name) : "");
    if (!diag_listed(diags))
        return;
    const char *names[KEYS_MAX];
    size_t count = 0;
    for (size_t i = 0; i < table->count; i++)
        if (table->keys[i].where & where)
            names[count++] = table->keys[i].name;
    diag_found(diags, name->bytes);
    diag_nearest(diags, diag_nearest_name(name->bytes, names, count));
}

static void report_misplaced_key(struct reader *reader, const struct key_table *table,
                                 unsigned where, const struct key *key, struct place at)
{
    diag_add(reader->diags, DIAG_UNKNOWN_KEY, at, "'%s' does not belong in %s", key->name,
             level_words(table, where));
    diag_found(reader->diags, key->name);
    diag_expected(reader->diags, "'%s' in %s", key->name, level_words(table, key->where));
}

static void report_twice(struct reader *reader, const char *name, struct place at,
                         struct place first)
{
    diag_add(reader->diags, DIAG_DUPLICATE_KEY, at, "'%s' is written twice", name);
    diag_other(reader->diags, first, "first written here");
}

static void report_no_value(struct reader *reader, const char *name, struct place at)
{
    diag_add(reader->diags, DIAG_BAD_VALUE, at, "'%s' has no value", name);
    diag_expected(reader->diags, "a value after the colon");
}

/* The keys of a map by their rows in the table. */
struct found_keys {
    uint64_t rows; /* bit i: row i is found, and entries[i] set */
    struct entry entries[KEYS_MAX];
};

_Static_assert(KEYS_MAX == 64, "a bit for each row");

static void find_entry(struct reader *reader, const struct key_table *table, unsigned where,
                       const struct node *name, struct found_keys *found)
{
    const struct node *value = name->next;
    if (name->kind != NODE_SCALAR)
        return;
    const struct key *key = find_key(reader, table, name);
    if (!key) {
        report_unknown_key(reader, table, where, node_text(reader, name));
        return;
    }
    size_t row = (size_t)(key - table->keys);
    struct entry *entry = &found->entries[row];
    if (!(key->where & where)) {
        report_misplaced_key(reader, table, where, key, name->at);
    } else if (found->rows >> row & 1) {
        report_twice(reader, key->name, name->at, entry->key->at);
    } else if (node_is_empty(value)) {
        report_no_value(reader, key->name, name->at);
    } else {
        *entry = (struct entry){key->name, name, value};
        found->rows |= (uint64_t)1 << row;
    }
}

bool read_keys(struct reader *reader, const struct node *map, const struct key_table *table,
               unsigned where, void *target)
{
    if (map->kind == NODE_UNUSABLE)
        return false;
    if (map->kind != NODE_MAP) {
        diag_add(reader->diags, DIAG_BAD_VALUE, map->at, "%s needs keys with values, not %s",
                 level_words(table, where), node_kind_word(map));
        diag_expected(reader->diags, "keys such as '%s: ...'", table->keys[0].name);
        return false;
    }
    struct found_keys found;
    found.rows = 0;
    for (const struct node *name = map->first; name; name = name->next->next)
        find_entry(reader, table, where, name, &found);
    for (uint64_t rows = found.rows; rows; rows &= rows - 1) {
        int row = __builtin_ctzll(rows);
        if (found.entries[row].value->kind != NODE_UNUSABLE)
            table->keys[row].read(reader, &found.entries[row], target);
    }
    return true;
}

/* The keys of a free map that were seen: a few are compared, many are hashed. */
struct seen_keys {
    struct names names;
    VECTOR(const struct node *) keys;
};

enum { FEW_KEYS = 8 };

static bool same_key(const struct node *a, const struct node *b)
{
    return a->length == b->length && memcmp(a->bytes, b->bytes, a->length) == 0;
}

/* The earlier key that is equal to this one; NULL where it is new. */
static const struct node *find_seen(struct reader *reader, const struct node *map,
                                    const struct node *key, struct seen_keys *seen)
{
    if (map->length <= FEW_KEYS) {
        for (const struct node *other = map->first; other != key; other = other->next->next)
            if (other->kind == NODE_SCALAR && same_key(other, key))
                return other;
        return NULL;
    }
    uint32_t number = (uint32_t)seen->keys.count;
    if (!names_add(&seen->names, reader->arena, key->bytes, key->length, &number))
        return seen->keys.items[number];
    *vector_push(&seen->keys, reader->arena) = key;
    return NULL;
}

void read_free_keys(struct reader *reader, const struct entry *entry, const char *expected,
                    read_entry *read, void *target)
{
    const struct node *map = entry->value;
    if (map->kind != NODE_MAP) {
        bad_value(reader, entry, expected);
        return;
    }
    struct seen_keys seen = {0};
    for (const struct node *key = map->first; key; key = key->next->next) {
        struct entry pair = {key->bytes, key, key->next};
        if (key->kind != NODE_SCALAR || pair.value->kind == NODE_UNUSABLE)
            continue;
        const struct node *first = find_seen(reader, map, key, &seen);
        if (first)
            report_twice(reader, key->bytes, key->at, first->at);
        else if (node_is_empty(pair.value))
            report_no_value(reader, key->bytes, key->at);
        else
            read(reader, &pair, target);
    }
}

void read_items(struct reader *reader, const struct entry *entry, read_entry *read, void *target)
{
    if (entry->value->kind != NODE_LIST) {
        read(reader, entry, target);
        return;
    }
    for (const struct node *item = entry->value->first; item; item = item->next) {
        struct entry one = {entry->name, entry->key, item};
        if (item->kind != NODE_UNUSABLE)
            read(reader, &one, target);
    }
}

/* ---- values ---------------------------------------------------------------------------------- */

void bad_value(struct reader *reader, const struct entry *entry, const char *expected)
{
    const struct node *value = entry->value;
    struct diags *diags = reader->diags;
    if (value->kind == NODE_SCALAR)
        diag_add(diags, DIAG_BAD_VALUE, value->at, "'%s' cannot be '%s'", entry->name,
                 worth_telling(reader) ? shown(reader, node_text(reader, value)) : "");
    else
        diag_add(diags, DIAG_BAD_VALUE, value->at, "'%s' cannot be %s", entry->name,
                 node_kind_word(value));
    if (!diag_listed(diags))
        return;
    if (value->kind == NODE_SCALAR)
        diag_found(diags, shown(reader, node_text(reader, value)));
    diag_expected(diags, "%s", expected);
}

const struct text *entry_text(struct reader *reader, const struct entry *entry,
                              const char *expected)
{
    if (entry->value->kind == NODE_SCALAR)
        return node_text(reader, entry->value);
    if (entry->value->kind != NODE_UNUSABLE)
        bad_value(reader, entry, expected);
    return NULL;
}

static const char *list_words(struct reader *reader, const char *const *words, size_t count)
{
    const char *list = words[0];
    for (size_t i = 1; i < count; i++)
        list =
            arena_format(reader->arena, "%s%s%s", list, i + 1 == count ? " or " : ", ", words[i]);
    return list;
}

int entry_choice(struct reader *reader, const struct entry *entry, const char *const *words,
                 size_t count)
{
    const struct node *value = entry->value;
    if (value->kind == NODE_SCALAR)
        for (size_t i = 0; i < count; i++)
            if (strcmp(words[i], value->bytes) == 0)
                return (int)i;
    bad_value(reader, entry, worth_telling(reader) ? list_words(reader, words, count) : "");
    if (value->kind == NODE_SCALAR && diag_listed(reader->diags))
        diag_nearest(reader->diags, diag_nearest_name(value->bytes, words, count));
    return -1;
}

bool entry_number(struct reader *reader, const struct entry *entry, uint32_t least, uint32_t most,
                  uint32_t *number)
{
    const struct text *text = entry_text(reader, entry, "a whole number");
    size_t offset = 0;
    if (!text)
        return false;
    bool digits = text->length > 0 && strspn(text->bytes, "0123456789") == text->length;
    bool fits = read_number(text->bytes, text->length, &offset, number) && offset == text->length;
    if (digits && (!fits || *number > most)) {
        diag_add(reader->diags, DIAG_LIMIT, text->at, "'%s' cannot be more than %u", entry->name,
                 (unsigned)most);
        return false;
    }
    if (digits && *number >= least)
        return true;
    bad_value(reader, entry,
              arena_format(reader->arena, "a whole number from %u to %u", (unsigned)least,
                           (unsigned)most));
    return false;
}

/* Digits, and perhaps a point with up to three more: "5.5" is 5500. */
static bool parse_thousandths(const char *text, int32_t *thousandths)
{
    bool negative = *text == '-';
    int32_t value = 0, places = -1;
    if (negative)
        text++;
    if (!is_digit(*text))
        return false;
    for (; *text; text++) {
        if (*text == '.' && places < 0) {
            places = 0;
            continue;
        }
        if (!is_digit(*text) || places == 3 || value > 99999)
            return false;
        value = value * 10 + (*text - '0');
        places += places >= 0;
    }
    if (places == 0)
        return false;
    for (places = places < 0 ? 0 : places; places < 3; places++)
        value *= 10;
    *thousandths = negative ? -value : value;
    return true;
}

bool entry_thousandths(struct reader *reader, const struct entry *entry, int32_t least,
                       int32_t most, int32_t *thousandths)
{
    const struct text *text = entry_text(reader, entry, "a number");
    if (!text)
        return false;
    if (parse_thousandths(text->bytes, thousandths) && *thousandths >= least &&
        *thousandths <= most)
        return true;
    bad_value(reader, entry,
              arena_format(reader->arena, "a number from %d to %d, such as 5.5",
                           (int)(least / 1000), (int)(most / 1000)));
    return false;
}

bool entry_switch(struct reader *reader, const struct entry *entry, bool *on)
{
    static const char *const words[] = {"yes", "no", "on", "off", "true", "false"};
    int choice = entry_choice(reader, entry, words, sizeof words / sizeof *words);
    if (choice < 0)
        return false;
    *on = choice % 2 == 0;
    return true;
}
