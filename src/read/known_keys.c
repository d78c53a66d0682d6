/* The keys of all tables in one list. */
#include "model/voice.h"
#include "read/keys.h"
#include "read/read.h"

static const struct key_table *const tables[] = {
    &all_table,  &show_table,      &page_table,  &kit_table,  &voice_table,
    &limb_table, &feet_limb_table, &level_table, &vary_table, &vary_choice_table,
};

enum { TABLE_COUNT = sizeof tables / sizeof *tables };

/* read_known_key() within one table. If the key is not in it, *index is reduced by its size. */
static bool find_in_table(const struct key_table *table, size_t *index, struct known_key *key)
{
    for (size_t k = 0; k < table->count; k++)
        for (size_t level = 0; level < table->level_count; level++) {
            if (!*table->keys[k].name || /* any voice */
                !(table->keys[k].where & ~table->keys[k].idle & table->levels[level].where) ||
                (*index)-- > 0)
                continue;
            *key = (struct known_key){table->keys[k].name, table->levels[level].words};
            return true;
        }
    return false;
}

bool read_known_key(size_t index, struct known_key *key)
{
    for (size_t i = 0; i < TABLE_COUNT; i++)
        if (find_in_table(tables[i], &index, key))
            return true;
    return false;
}

bool is_known_key(const char *word, size_t length)
{
    struct known_key key;
    for (size_t i = 0; read_known_key(i, &key); i++)
        if (strlen(key.name) == length && memcmp(key.name, word, length) == 0)
            return true;
    for (int i = 0; i < VOICE_BUILTIN_COUNT; i++) {
        const char *name = voice_builtin((enum voice_builtin)i)->name;
        if (strlen(name) == length && memcmp(name, word, length) == 0)
            return true;
    }
    return false;
}
