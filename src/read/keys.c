#include "read/keys.h"

#include "base/utf8.h"
#include "model/subdivision.h"
#include "read/scanner.h"
#include "read/scope.h"
#include "read/trade_words.h"

#include <ctype.h>

static const struct key *row_called(const struct key_table *table, const char *name)
{
    for (size_t i = 0; i < table->count; i++)
        if (strcmp(table->keys[i].name, name) == 0)
            return &table->keys[i];
    return NULL;
}

void keys_begin(struct reader *reader)
{
    for (size_t i = 0; i < all_table.count; i++)
        if (*all_table.keys[i].name)
            names_add(&reader->keys, reader->nodes, all_table.keys[i].name, (uint32_t)i);
}

/* Nearly all keys of a lesson are of one long table, whose rows the tree has found. */
static const struct key *find_key(const struct key_table *table, const struct node *name)
{
    if (table != &all_table)
        return row_called(table, name->bytes);
    return name->known_row ? &table->keys[name->known_row - 1] : NULL;
}

static const struct key *other_row(const struct key_table *table)
{
    const struct key *row = table->is_other ? table->keys : NULL;
    while (row && *row->name)
        row++;
    return row;
}

static const char *level_words(const struct key_table *table, unsigned where)
{
    for (size_t i = 0; i < table->level_count; i++)
        if (table->levels[i].where & where)
            return table->levels[i].words;
    return "this map";
}

/* Whether a pair without a value was meant to have a colon, or a space after its colon, inside what
   is now its key: {R:hi-hat} and {R hi-hat}. Reports that. */
static bool report_open_pair(struct reader *reader, const struct node *name)
{
    size_t brace = strcspn(name->bytes, "{[");
    if (name->bytes[brace] && brace) {
        size_t end = brace;
        while (end > 1 && name->bytes[end - 1] == ' ')
            end--;
        diag_add(reader->diags, DIAG_SYNTAX, name->at, "no colon after '%.*s%s'",
                 QUOTED(name->bytes, end));
        diag_expected(reader->diags, "'%.*s: %.1s ...'", (int)end, name->bytes,
                      name->bytes + brace);
        return true;
    }
    size_t word = strcspn(name->bytes, ": ");
    const char *rest = name->bytes + word + strspn(name->bytes + word, ": ");
    if (!node_is_empty(name->next) || name->bytes[word] == '\0' || *rest == '\0')
        return false;
    if (strchr("\"'", name->bytes[name->length - 1])) {
        diag_add(reader->diags, DIAG_SYNTAX, name->at, "a closing quote without its opening one");
        diag_expected(reader->diags, "one quote at each end of the text");
        return true;
    }
    bool colon = name->bytes[word] == ':';
    diag_add(reader->diags, DIAG_SYNTAX, name->at, "%s '%.*s'",
             colon ? "no space after the colon of" : "no colon after", (int)word, name->bytes);
    diag_expected(reader->diags, "%.*s: %.*s%s", (int)word, name->bytes,
                  QUOTED(rest, strlen(rest)));
    return true;
}

/* What to write for a key that is a word of the trade, perhaps with marks behind it. */
static const char *key_pointer(const struct node *name)
{
    const char *pointer = trade_word_pointer(name->bytes, name->length);
    return pointer ? pointer : trade_word_pointer(name->bytes, strcspn(name->bytes, " "));
}

/* `snair accent`: the part in front of the marks. */
static const char *without_marks(struct reader *reader, const struct node *name)
{
    struct voicing marks = {0};
    size_t end = name->length;
    for (size_t blank = end; blank > 0; blank--) {
        if (name->bytes[blank - 1] != ' ')
            continue;
        if (!voicing_add_word(name->bytes + blank, end - blank, &marks))
            break;
        end = blank - 1;
    }
    return arena_copy_text(reader->arena, name->bytes, end);
}

static bool has_voices(const struct key_table *table, unsigned where)
{
    return table->is_other && (other_row(table)->where & where);
}

/* `snair gsot`: the voice, if the next word was meant as its mark. */
static const char *voice_part(struct reader *reader, const struct node *name)
{
    const char *word = without_marks(reader, name);
    size_t first = strcspn(word, " ");
    if (!word[first] || !is_misspelt_mark(reader, word + first + 1))
        return word;
    return arena_copy_text(reader->arena, word, first);
}

/* The same letters but for hyphens and blanks. */
static bool same_letters(const char *a, const char *b)
{
    for (;; a++, b++) {
        a += strspn(a, "- ");
        b += strspn(b, "- ");
        if (*a != *b || *a == '\0')
            return *a == *b;
    }
}

static const char *find_same(const char *word, const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (same_letters(word, names[i]))
            return names[i];
    return NULL;
}

/* `same as`: the key that is the first of several words. */
static const char *leading_key(const struct node *name, const char *const *names, size_t count)
{
    size_t length = strcspn(name->bytes, " ");
    for (size_t i = 0; i < count && name->bytes[length]; i++)
        if (strlen(names[i]) == length && memcmp(names[i], name->bytes, length) == 0)
            return names[i];
    return NULL;
}

/* What was meant by an unknown key. `word`: the key without the marks of a voice. */
static void suggest_key(struct reader *reader, const struct key_table *table, unsigned where,
                        const struct node *name, const char *word)
{
    const struct names *voices = has_voices(table, where) ? &reader->voices : NULL;
    const char *names[KEYS_MAX];
    size_t count = 0;
    for (size_t i = 0; i < table->count; i++)
        if ((table->keys[i].where & where) && *table->keys[i].name)
            names[count++] = table->keys[i].name;
    if (strlen(word) < name->length) /* with a mark behind it, it is a voice */
        count = 0;
    bool joined = find_same(word, names, count) ||
                  (voices && find_same(word, voices->names.items, voices->names.count));
    const char *pointer = table == &all_table && !joined ? key_pointer(name) : NULL;
    const char *limb =
        table == &limb_table && where & OF_HANDS ? trade_limb(name->bytes, name->length) : NULL;
    const char *first = leading_key(name, names, count);
    if (pointer)
        diag_expected(reader->diags, "%s", pointer);
    else if (limb)
        diag_nearest(reader->diags, limb);
    else if (first)
        diag_nearest(reader->diags, first);
    else if (voices)
        names_suggest(reader->diags, voices, reader->arena, word, names, count);
    else
        diag_nearest_of(reader->diags, name->bytes, names, count);
}

static void report_unknown_key(struct reader *reader, const struct key_table *table, unsigned where,
                               const struct node *name)
{
    struct diags *diags = reader->diags;
    if (report_open_pair(reader, name))
        return;
    const char *word = has_voices(table, where) ? voice_part(reader, name) : name->bytes;
    size_t marks = utf8_count(name->bytes, name->length) - utf8_count(word, strlen(word));
    diag_add(diags, DIAG_UNKNOWN_KEY, place_resized(name->at, (uint32_t)(name->at.length - marks)),
             "%s has no key '%.*s%s'", level_words(table, where),
             QUOTED(name->bytes, name->length));
    if (!diag_listed(diags))
        return;
    diag_found(diags, word);
    suggest_key(reader, table, where, name, word);
}

/* Words for the player have another key in an exercise than in a lesson. NULL: not such a key. */
static const char *twin_here(const struct key_table *table, unsigned where, const char *name)
{
    bool notes = strcmp(name, "notes") == 0;
    if (table != &all_table || (!notes && strcmp(name, "text") != 0))
        return NULL;
    const char *twin = notes ? "text" : "notes";
    return row_called(table, twin)->where & where ? twin : NULL;
}

static void report_misplaced_key(struct reader *reader, const struct key_table *table,
                                 unsigned where, const struct key *key, struct place at)
{
    diag_add(reader->diags, DIAG_UNKNOWN_KEY, at, "'%s' does not belong in %s", key->name,
             level_words(table, where));
    diag_found(reader->diags, key->name);
    const char *pointer = trade_word_pointer(key->name, strlen(key->name));
    const char *twin = twin_here(table, where, key->name);
    if (twin)
        pointer = arena_format(reader->arena, "'%s' in %s", twin, level_words(table, where));
    diag_expected(reader->diags, "%s%s'%s' in %s", pointer ? pointer : "", pointer ? "; or " : "",
                  key->name, level_words(table, key->where));
}

void warn_if_idle(struct reader *reader, const struct key_table *table, unsigned where,
                  const char *name, struct place at)
{
    const struct key *key = row_called(table, name);
    unsigned idle = key ? key->idle & where : 0;
    if (!idle)
        return;
    diag_add(reader->diags, DIAG_NO_EFFECT, at, "'%s'%s%s changes nothing in %s", name,
             table == &all_table ? "" : " of ",
             table == &all_table ? "" : level_words(table, where), level_words(&all_table, idle));
    if (idle == IN_FORM && strcmp(name, "repeat") == 0) { /* it counts there: groove*3 */
        diag_expected(reader->diags, "%s",
                      "the parts once more in 'sequence', such as groove*3 fill groove*3 fill");
        return;
    }
    unsigned right = key->where & ~key->idle;
    unsigned nearest = right & IN_EXERCISE ? IN_EXERCISE : right & IN_FORM ? IN_FORM : right;
    diag_expected(reader->diags, "'%s' in %s", name,
                  idle == IN_FORM && nearest == IN_EXERCISE ? "the exercises that it names"
                                                            : level_words(&all_table, nearest));
}

static void report_twice(struct reader *reader, const char *name, struct place at,
                         struct place first)
{
    diag_add(reader->diags, DIAG_DUPLICATE_KEY, at, "'%s' is written twice", name);
    diag_other(reader->diags, first, "first written here");
}

/* The comment behind a key or a value; "": there is none. */
static const char *comment_behind(const struct reader *reader, const struct node *node)
{
    const struct source *source = &reader->source;
    if (!source_has_sign(source, node->end_line))
        return "";
    const char *line = source->bytes + source->line_starts.items[node->end_line - 1];
    const char *end = node->end_line < source->line_starts.count
                          ? source->bytes + source->line_starts.items[node->end_line]
                          : source->bytes + source->length;
    const char *at = line;
    for (uint32_t column = 1; column < node->end_column && at < end; column++) {
        uint32_t code_point;
        size_t bytes = utf8_decode(at, (size_t)(end - at), &code_point);
        at += bytes ? bytes : 1;
    }
    while (at < end && (*at == ':' || *at == ' '))
        at++;
    return at < end && *at == '#' ? at : "";
}

void warn_of_comment(struct reader *reader, const struct node *node)
{
    if (node->style != TEXT_PLAIN || node->length == 0)
        return;
    const char *comment = comment_behind(reader, node);
    if (!*comment || strchr("# \n!", comment[1]) || comment[1] == '\0')
        return; /* a comment as people write them */
    size_t word = strcspn(comment, " \n");
    diag_add(reader->diags, DIAG_NO_EFFECT, node->at, "'%.*s' is a comment, not part of this text",
             quoted_length(comment, word), comment);
    diag_expected(reader->diags, "quotes around the text: \"%.*s %.*s\"",
                  quoted_length(node->bytes, node->length), node->bytes,
                  quoted_length(comment, word), comment);
}

/* The key that follows, where both begin with a count and stand on one line: {2, 4: snare}. */
static const struct node *next_count(const struct node *key)
{
    const struct node *next = key->next->next;
    bool counts = next && next->kind == NODE_SCALAR && isdigit((unsigned char)*key->bytes) &&
                  isdigit((unsigned char)*next->bytes);
    return counts && next->at.line == key->at.line ? next : NULL;
}

static void report_no_value(struct reader *reader, const struct node *key)
{
    if (report_open_pair(reader, key))
        return;
    const struct node *next = next_count(key);
    diag_add(reader->diags, DIAG_BAD_VALUE, key->at, "'%s' has no value", key->bytes);
    if (next)
        diag_expected(reader->diags, "no comma between counts that share a value: '%s %s:'",
                      key->bytes, next->bytes);
    else if (*comment_behind(reader, key))
        diag_expected(reader->diags,
                      "quotes around text that starts with #: without them it is a comment");
    else
        diag_expected(reader->diags, "a value after the colon");
}

/* The keys of a map by their rows in the table. */
struct found_keys {
    uint64_t rows[KEYS_MAX / 64]; /* bit i of all: row i is found, and entries[i] set */
    bool early;                   /* some of them are read early */
    const struct node *other;     /* the first key that is in no row */
    struct entry entries[KEYS_MAX];
};

static void note_row(struct found_keys *found, size_t row)
{
    found->rows[row / 64] |= (uint64_t)1 << row % 64;
}

static bool has_row(const struct found_keys *found, size_t row)
{
    return found->rows[row / 64] >> row % 64 & 1;
}

static void find_entry(struct reader *reader, const struct key_table *table, unsigned where,
                       const struct node *name, struct found_keys *found)
{
    const struct node *value = name->next;
    if (name->kind != NODE_SCALAR)
        return;
    const struct key *key = find_key(table, name);
    if (!key) {
        const struct key *other = other_row(table);
        if (other && (other->where & where)) {
            note_row(found, (size_t)(other - table->keys));
            found->other = found->other ? found->other : name;
        } else {
            report_unknown_key(reader, table, where, name);
        }
        return;
    }
    size_t row = (size_t)(key - table->keys);
    struct entry *entry = &found->entries[row];
    if (!(key->where & where)) {
        report_misplaced_key(reader, table, where, key, name->at);
    } else if (has_row(found, row)) {
        report_twice(reader, key->name, name->at, entry->key->at);
    } else if (node_is_empty(value)) {
        report_no_value(reader, name);
    } else {
        if (key->idle & where)
            warn_if_idle(reader, table, where, key->name, name->at);
        *entry = (struct entry){key->name, name, value, key};
        note_row(found, row);
        found->early |= key->early;
    }
}

static bool has_key(const struct key_table *table, unsigned where, const char *name)
{
    const struct key *key = row_called(table, name);
    return key && key->where & where;
}

/* The key of this level whose value a text looks like; NULL if it looks like none. */
static const char *key_of_value(const struct key_table *table, unsigned where,
                                const struct node *value)
{
    enum subdivision subdivision;
    const char *text = value->bytes, *key = NULL;
    if (value->kind != NODE_SCALAR || !value->length)
        return NULL;
    if (subdivision_from_name(text, value->length, &subdivision))
        key = "subdivision";
    else if (strspn(text, "0123456789._ |()*:+") == value->length)
        key = "rhythm";
    else if (looks_like_strokes(text, value->length))
        key = "sticking";
    else
        key = where & (IN_HAND | IN_FEET) ? "play" : "title";
    return has_key(table, where, key) ? key : NULL;
}

/* The first key of a level. */
static const char *first_key(const struct key_table *table, unsigned where)
{
    for (size_t i = 0; i < table->count; i++)
        if (table->keys[i].where & ~table->keys[i].idle & where && *table->keys[i].name)
            return table->keys[i].name;
    return table->keys[0].name;
}

/* "right: " where the level is the value of that key, and "" elsewhere. */
static const char *level_key(struct reader *reader, const struct key_table *table, unsigned where)
{
    const char *words = level_words(table, where);
    size_t length = strcspn(words + (*words == '\''), "'");
    return *words == '\'' ? arena_format(reader->arena, "%.*s: ", (int)length, words + 1) : "";
}

/* Completes the report of a value that is no map: perhaps it begins with a key, or is what one of
   the keys would have. */
static void report_bare_key(struct reader *reader, const struct key_table *table, unsigned where,
                            const struct node *value)
{
    const char *text = value->kind == NODE_SCALAR ? value->bytes : "";
    size_t length = strcspn(text, ": ");
    const char *rest = text + length + strspn(text + length, ": ");
    const struct key *other = other_row(table), *own = NULL;
    for (size_t i = 0; i < table->count; i++)
        if (strlen(table->keys[i].name) == length && length &&
            memcmp(table->keys[i].name, text, length) == 0 && table->keys[i].where & where)
            own = &table->keys[i];
    const char *key = key_of_value(table, where, value);
    bool voice = other && other->where & where && *rest;
    if (length && (own || (voice && reader->is_key(text, length))))
        diag_expected(reader->diags, "a colon and a space after the key: '%.*s: %s'", (int)length,
                      text, *rest && strlen(rest) < QUOTED_MAX ? rest : "...");
    else if (key)
        diag_expected(reader->diags, "a key for it, as in %s{%s: %.*s%s}",
                      level_key(reader, table, where), key, QUOTED(text, value->length));
    else
        diag_expected(reader->diags, "keys such as '%s: ...'", first_key(table, where));
}

/* The map's keys that are in no row, each given to the row "". */
static void read_others(struct reader *reader, const struct node *first,
                        const struct key_table *table, unsigned where, void *target)
{
    const struct key *row = other_row(table);
    for (const struct node *name = first; name; name = name->next->next) {
        struct entry entry = {name->bytes, name, name->next, row};
        if (name->kind != NODE_SCALAR || find_key(table, name))
            continue;
        if (!table->is_other(reader, name->bytes))
            report_unknown_key(reader, table, where, name);
        else if (node_is_empty(name->next))
            report_no_value(reader, name);
        else if (name->next->kind != NODE_UNUSABLE)
            row->read(reader, &entry, target);
    }
}

/* Reads the values of the keys that were found: the early ones, or the others. */
static void read_rows(struct reader *reader, const struct found_keys *found,
                      const struct key_table *table, unsigned where, bool early, void *target)
{
    for (size_t word = 0; word < sizeof found->rows / sizeof *found->rows; word++)
        for (uint64_t rows = found->rows[word]; rows; rows &= rows - 1) {
            size_t row = word * 64 + (size_t)__builtin_ctzll(rows);
            const struct key *key = &table->keys[row];
            if (key->early != early)
                continue;
            if (!*key->name)
                read_others(reader, found->other, table, where, target);
            else if (found->entries[row].value->kind != NODE_UNUSABLE)
                key->read(reader, &found->entries[row], target);
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
        report_bare_key(reader, table, where, map);
        return false;
    }
    struct found_keys found;
    memset(found.rows, 0, sizeof found.rows);
    found.other = NULL;
    found.early = false;
    for (const struct node *name = map->first; name; name = name->next->next)
        find_entry(reader, table, where, name, &found);
    if (found.early)
        read_rows(reader, &found, table, where, true, target);
    read_rows(reader, &found, table, where, false, target);
    return true;
}

struct entry entry_item(const struct entry *list, const struct node *after)
{
    const struct node *value = after ? NULL : list->value;
    if (list->value->kind == NODE_LIST) {
        value = after ? after->next : list->value->first;
        while (value && value->kind == NODE_UNUSABLE)
            value = value->next;
    }
    return (struct entry){list->name, list->key, value, list->row};
}

struct pairs pairs_of(struct reader *reader, const struct entry *entry, const char *expected)
{
    bool map = entry->value->kind == NODE_MAP;
    if (!map)
        bad_value(reader, entry, "%s", expected);
    return (struct pairs){.reader = reader, .next = map ? entry->value->first : NULL};
}

/* Whether a pair can be used: its key is new, and it has a value. */
static bool check_pair(struct pairs *pairs, const struct node *key)
{
    struct reader *reader = pairs->reader;
    uint32_t number;
    if (key->kind != NODE_SCALAR || key->next->kind == NODE_UNUSABLE)
        return false;
    if (names_find(&pairs->seen, key->bytes, key->length, &number)) {
        report_twice(reader, key->bytes, key->at, pairs->keys.items[number]->at);
        return false;
    }
    names_add(&pairs->seen, reader->nodes, key->bytes, (uint32_t)pairs->keys.count);
    *vector_push(&pairs->keys, reader->nodes) = key;
    if (node_is_empty(key->next))
        report_no_value(reader, key);
    return !node_is_empty(key->next);
}

bool pairs_next(struct pairs *pairs, struct entry *pair)
{
    while (pairs->next) {
        const struct node *key = pairs->next;
        pairs->next = key->next->next;
        *pair = (struct entry){key->bytes, key, key->next, NULL};
        if (check_pair(pairs, key))
            return true;
    }
    return false;
}

/* ---- values ---------------------------------------------------------------------------------- */

void bad_value(struct reader *reader, const struct entry *entry, const char *expected, ...)
{
    const struct node *value = entry->value;
    struct diags *diags = reader->diags;
    if (value->kind == NODE_SCALAR)
        diag_add(diags, DIAG_BAD_VALUE, value->at, "'%s' cannot be '%.*s%s'", entry->name,
                 QUOTED(value->bytes, value->length));
    else
        diag_add(diags, DIAG_BAD_VALUE, value->at, "'%s' cannot be %s", entry->name,
                 node_kind_word(value));
    if (!diag_listed(diags))
        return;
    if (value->kind == NODE_SCALAR)
        diag_found(diags,
                   arena_format(reader->arena, "%.*s%s", QUOTED(value->bytes, value->length)));
    va_list arguments;
    va_start(arguments, expected);
    diag_expected(diags, "%s", arena_format_list(reader->arena, expected, arguments));
    va_end(arguments);
}

const struct text *entry_text(struct reader *reader, const struct entry *entry,
                              const char *expected)
{
    if (entry->value->kind == NODE_SCALAR)
        return node_text(reader, entry->value);
    bad_value(reader, entry, "%s", expected);
    return NULL;
}

/* The words of a text with blanks or commas between them as a list: "pdf, index". NULL if it is one
   word, or not all of them are `words`. */
static const char *several_choices(struct reader *reader, const struct node *value,
                                   const char *const *words)
{
    const char *list = "";
    size_t found = 0;
    for (const char *at = value->bytes; *at; at += strspn(at, ", ")) {
        size_t length = strcspn(at, ", "), i = 0;
        while (words[i] && (strlen(words[i]) != length || memcmp(words[i], at, length) != 0))
            i++;
        if (!words[i])
            return NULL;
        list = arena_format(reader->scratch, "%s%s%s", list, found++ ? ", " : "", words[i]);
        at += length;
    }
    return found > 1 ? list : NULL;
}

static int choose(struct reader *reader, const struct entry *entry, const char *const *words,
                  bool listed)
{
    const struct node *value = entry->value;
    size_t count = 0;
    for (; words[count]; count++)
        if (value->kind == NODE_SCALAR && strcmp(words[count], value->bytes) == 0)
            return (int)count;
    bad_value(reader, entry, "%s", "");
    if (!diag_listed(reader->diags))
        return -1;
    const char *choices = joined_words(reader, words, count);
    const char *several = value->kind == NODE_SCALAR ? several_choices(reader, value, words) : NULL;
    if (several && listed)
        diag_expected(reader->diags, "a list in brackets: [%s]", several);
    else
        diag_expected(reader->diags, "%s%s", several ? "only one of " : "", choices);
    if (value->kind == NODE_SCALAR && !several)
        diag_nearest_of(reader->diags, value->bytes, words, count);
    return -1;
}

int entry_choice(struct reader *reader, const struct entry *entry, const char *const *words)
{
    return choose(reader, entry, words, false);
}

int entry_item_choice(struct reader *reader, const struct entry *item, const char *const *words)
{
    return choose(reader, item, words, true);
}

bool entry_number(struct reader *reader, const struct entry *entry, uint32_t least, uint32_t most,
                  uint32_t *number)
{
    const struct text *text = entry_text(reader, entry, "a whole number");
    if (!text)
        return false;
    struct scanner scanner = scanner_of(reader, text);
    bool fits = scan_number(&scanner, number) && scan_ended(&scanner);
    bool digits = text->length > 0 && strspn(text->bytes, "0123456789") == text->length;
    if (digits && (!fits || *number > most)) {
        diag_add(reader->diags, DIAG_LIMIT, text->at, "'%s' cannot be more than %u", entry->name,
                 (unsigned)most);
        return false;
    }
    if (digits && *number >= least)
        return true;
    bad_value(reader, entry, "a whole number from %u to %u", (unsigned)least, (unsigned)most);
    return false;
}

/* "5" is 5000, "-0.25" is -250; at most three places. */
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
    bad_value(reader, entry, "a number from %d to %d, such as 5.5", (int)(least / 1000),
              (int)(most / 1000));
    return false;
}

void read_choice(struct reader *reader, const struct entry *entry, void *target)
{
    int choice = entry_choice(reader, entry, entry->row->words);
    if (choice >= 0)
        *(unsigned *)entry_field(entry, target) = (unsigned)choice;
}

const char *const no_or_yes[] = {"no", "yes", "off", "on", "false", "true", NULL};

void read_flag(struct reader *reader, const struct entry *entry, void *target)
{
    int choice = entry_choice(reader, entry, entry->row->words);
    if (choice >= 0)
        *(bool *)entry_field(entry, target) = choice % 2 == 1;
}
