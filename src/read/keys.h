#ifndef RATAMARK_READ_KEYS_H
#define RATAMARK_READ_KEYS_H
/*
 * Maps with known keys, read by tables: a row is a key's name, the levels where it can stand, and
 * the function that reads its value. The rows stand in the order in which tidy files write their
 * keys. Values are read in that order, too, not in the file's; what others depend on (kit,
 * patterns) is read early.
 *
 * Lists, and maps whose keys the author chooses, are read by loops:
 *
 *     for (struct entry item = entry_item(entry, NULL); item.value;
 *          item = entry_item(entry, item.value))
 *         ...
 *     struct pairs pairs = pairs_of(reader, entry, "names with values");
 *     for (struct entry pair; pairs_next(&pairs, &pair);)
 *         ...
 */
#include "read/tree.h"

/* A key with its value, as found in a map. */
struct entry {
    const char *name; /* of the key; for an item of a list, the list's */
    const struct node *key, *value;
    const struct key *row; /* NULL for keys that the author chooses */
};

typedef void read_entry(struct reader *reader, const struct entry *entry, void *target);

struct key {
    const char *name;
    unsigned where; /* bits of the levels where it can stand */
    read_entry *read;
    size_t field;             /* for readers that serve several keys: an offset in the target */
    const char *const *words; /* for read_choice() and read_flag(): what the value can be */
    unsigned idle;            /* of those levels: where it is read, but changes nothing */
    bool early;               /* read before all others: these depend on it */
};

struct key_table {
    const struct key *keys;
    size_t count;
    const struct level_name {
        unsigned where;
        const char *words; /* "an exercise" */
    } * levels;
    size_t level_count;
    /* Whether a key that is in no row belongs to the row "", which reads such keys one by one;
       NULL: there is no such row. */
    bool (*is_other)(struct reader *reader, const char *name);
};

#define KEY(name, where, read)                                                                     \
    {                                                                                              \
        name, where, read, 0, NULL, 0, false                                                       \
    }
#define FIELD_KEY(name, where, read, type, field)                                                  \
    {                                                                                              \
        name, where, read, offsetof(type, field), NULL, 0, false                                   \
    }
#define WORDS_KEY(name, where, read, type, field, words)                                           \
    {                                                                                              \
        name, where, read, offsetof(type, field), words, 0, false                                  \
    }
#define KEY_TABLE(keys_, levels_)                                                                  \
    {                                                                                              \
        .keys = keys_, .count = sizeof(keys_) / sizeof *(keys_), .levels = levels_,                \
        .level_count = sizeof(levels_) / sizeof *(levels_)                                         \
    }

/* A row whose key changes nothing at some of its levels, which is reported. */
#define IDLE_KEY(name, where, idle, read)                                                          \
    {                                                                                              \
        name, where, read, 0, NULL, idle, false                                                    \
    }

#define EARLY_KEY(name, where, read)                                                               \
    {                                                                                              \
        name, where, read, 0, NULL, 0, true                                                        \
    }

enum { KEYS_MAX = 128 }; /* in one table */

/* All tables, each defined in the file that reads its keys. */
extern const struct key_table all_table, show_table, page_table, kit_table, voice_table, limb_table,
    feet_limb_table, level_table, vary_table, vary_choice_table;

_Static_assert(KEYS_MAX < UINT8_MAX, "struct node has room for a row");

/* Fills in reader->keys, before the tree is parsed. */
void keys_begin(struct reader *reader);

/* Reads a map's keys at one level into the target. Reports unknown keys, keys written twice and
   keys without a value. False if the node is not a map, which is reported, too. */
bool read_keys(struct reader *reader, const struct node *map, const struct key_table *table,
               unsigned where, void *target);

/* Reports a key of this table where it changes nothing. */
void warn_if_idle(struct reader *reader, const struct key_table *table, unsigned where,
                  const char *name, struct place at);

/* The item of a list after `after`, the first if NULL; a single value counts as a list of one.
   `value` is NULL after the last. */
struct entry entry_item(const struct entry *list, const struct node *after);

/* The pairs of a map whose keys the author chooses. */
struct pairs {
    struct reader *reader;
    const struct node *next;
    struct names seen; /* -> number in keys */
    VECTOR(const struct node *) keys;
};

/* Reports a value that is not a map. */
struct pairs pairs_of(struct reader *reader, const struct entry *entry, const char *expected);
/* Reports keys that were seen before and keys without a value, and leaves them out. False after the
   last pair. */
bool pairs_next(struct pairs *pairs, struct entry *pair);

/* ---- values ---------------------------------------------------------------------------------- */

/* The value's text; NULL, and reported, if it is a list or a map. */
const struct text *entry_text(struct reader *reader, const struct entry *entry,
                              const char *expected);

/* The value's text on one line; `text` is NULL, which is reported, if it is a list or a map. */
struct words entry_line(struct reader *reader, const struct entry *entry);
/* The text as the lesson says it when it is written, if it has something else to say to a player of
   the other hand; the lesson then knows it. Otherwise the text itself. Warns of braces that name
   hands but are written differently. */
const char *text_for_players(struct reader *reader, const char *text, struct place at);

/* Reports a comment right behind an unquoted text that was meant as a part of it: `Groove #2`. */
void warn_of_comment(struct reader *reader, const struct node *node);

/* Reports that the key cannot have this value. */
void bad_value(struct reader *reader, const struct entry *entry, const char *expected, ...)
    __attribute__((format(printf, 3, 4)));

/* The number of the word that the value is, among words that NULL ends; -1, and reported, if it is
   none of them. */
int entry_choice(struct reader *reader, const struct entry *entry, const char *const *words);
/* The same for an item of a list, or the one word that stands for a list. */
int entry_item_choice(struct reader *reader, const struct entry *item, const char *const *words);

/* A whole number within [least, most]. A number above `most` is reported as beyond a limit. */
bool entry_number(struct reader *reader, const struct entry *entry, uint32_t least, uint32_t most,
                  uint32_t *number);

/* A decimal number in thousandths, within [least, most] thousandths. */
bool entry_thousandths(struct reader *reader, const struct entry *entry, int32_t least,
                       int32_t most, int32_t *thousandths);

/* ---- readers for table rows: they set the field of the target at row->field ------------------ */

static inline void *entry_field(const struct entry *entry, void *target)
{
    return (char *)target + entry->row->field;
}

/* An enum: the number of the word. */
read_entry read_choice;
/* A bool: whether the second of the row's words is written; also the fourth, sixth ... */
read_entry read_flag;
extern const char *const no_or_yes[];

#endif
