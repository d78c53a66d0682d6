#ifndef RATAMARK_READ_KEYS_H
#define RATAMARK_READ_KEYS_H
/*
 * Maps with known keys, read by tables: a row is a key's name, the levels where it may stand, and
 * the function that reads its value. Values are read in the table's order, whatever the file's:
 * what others build on (kit, patterns, meter) stands first in a table.
 */
#include "read/tree.h"

/* A key with its value, as found in a map. */
struct entry {
    const char *name; /* as in the table */
    const struct node *key, *value;
};

typedef void read_entry(struct reader *reader, const struct entry *entry, void *target);

struct key {
    const char *name;
    unsigned where; /* bits of the levels where it may stand */
    read_entry *read;
};

struct key_table {
    const struct key *keys;
    size_t count;
    const struct level_name {
        unsigned where;
        const char *words; /* "an exercise" */
    } * levels;
    size_t level_count;
};

#define KEY_TABLE(keys_, levels_)                                                                  \
    {                                                                                              \
        .keys = keys_, .count = sizeof(keys_) / sizeof *(keys_), .levels = levels_,                \
        .level_count = sizeof(levels_) / sizeof *(levels_)                                         \
    }

/* All that there are, each beside what it reads. */
extern const struct key_table all_table, show_table, page_table, kit_table, voice_table, limb_table,
    feet_limb_table, level_table;

/* Reads a map's keys for one level into the target. Unknown keys, keys twice and keys without a
   value are reported. False where the node is no map (reported, too). */
bool read_keys(struct reader *reader, const struct node *map, const struct key_table *table,
               unsigned where, void *target);

/* Calls `read` for each pair of a map whose keys the author chooses. Reports equal keys, and a
   value that is not a map. */
void read_free_keys(struct reader *reader, const struct entry *entry, const char *expected,
                    read_entry *read, void *target);

/* Calls `read` for each item of a list, or for a single value that stands for a list of one. */
void read_items(struct reader *reader, const struct entry *entry, read_entry *read, void *target);

/* ---- values ---------------------------------------------------------------------------------- */

/* The value's text; NULL, reported, where it is a list or a map. */
const struct text *entry_text(struct reader *reader, const struct entry *entry,
                              const char *expected);

/* Reports that the key cannot have this value. */
void bad_value(struct reader *reader, const struct entry *entry, const char *expected);

/* The number of the word that the value is, with the nearest one in the report; -1 where it is
   none of them. */
int entry_choice(struct reader *reader, const struct entry *entry, const char *const *words,
                 size_t count);

/* A whole number within [least, most]; false after a report. A number above `most` is beyond a
   limit. */
bool entry_number(struct reader *reader, const struct entry *entry, uint32_t least, uint32_t most,
                  uint32_t *number);

/* A decimal number in thousandths within [least, most] thousandths. */
bool entry_thousandths(struct reader *reader, const struct entry *entry, int32_t least,
                       int32_t most, int32_t *thousandths);

/* `yes`, `on`, `true`; `no`, `off`, `false`. */
bool entry_switch(struct reader *reader, const struct entry *entry, bool *on);

#endif
