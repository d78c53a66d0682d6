#include "course/name_twins.h"

#include "base/table.h"
#include "console/status.h"

#include <strings.h>

static char lower(char byte)
{
    return byte >= 'A' && byte <= 'Z' ? (char)(byte - 'A' + 'a') : byte;
}

/* Equal for names that differ only in capitals. */
static uint64_t hash_of(const char *name, struct buffer *room)
{
    room->length = 0;
    buffer_add_text(room, name);
    for (size_t i = 0; i < room->length; i++)
        room->bytes[i] = lower(room->bytes[i]);
    return hash_text(room->bytes);
}

void name_twins_say(const struct course_tree *tree)
{
    struct table table = {0};
    struct buffer room = {0};
    for (size_t i = 0; i < tree->count; i++) {
        const char *name = tree->lessons[i].name, *twin = NULL;
        uint64_t hash = hash_of(name, &room);
        struct table_search search = table_search(&table, hash);
        for (size_t j; !twin && table_next(&search, &j);)
            if (strcasecmp(tree->lessons[j].name, name) == 0)
                twin = tree->lessons[j].name;
        if (twin)
            say("'%s' and '%s' differ only in capitals: some disks keep the files of only one",
                twin, name);
        else
            table_add(&table, hash, i, NULL);
    }
    table_release(&table);
    buffer_release(&room);
}
