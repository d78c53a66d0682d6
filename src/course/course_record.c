#include "course/course_record_int.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ---- the table of names ------------------------------------------------------------------- */

/* FNV-1a */
static size_t hash_of(const char *name)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (; *name; name++)
        hash = (hash ^ (unsigned char)*name) * UINT64_C(1099511628211);
    return (size_t)(hash ^ hash >> 32);
}

enum { NO_ENTRY = 0 }; /* slots hold numbers from 1 */

static uint32_t *slot_of(const struct course_record *record, const char *name)
{
    size_t mask = record->slot_count - 1;
    for (size_t i = hash_of(name) & mask;; i = (i + 1) & mask)
        if (record->slots[i] == NO_ENTRY ||
            strcmp(record->entries.items[record->slots[i] - 1].name, name) == 0)
            return &record->slots[i];
}

/* At most three quarters of the slots are taken. */
static bool is_index_full(const struct course_record *record)
{
    return record->entries.count > record->slot_count / 4 * 3;
}

static void make_index(struct course_record *record)
{
    size_t wanted = 256;
    while (record->entries.room > wanted / 4 * 3)
        wanted *= 2;
    memory_free(record->slots);
    record->slots = memory_alloc(wanted * sizeof *record->slots);
    memset(record->slots, 0, wanted * sizeof *record->slots);
    record->slot_count = wanted;
    for (size_t i = 0; i < record->entries.count; i++)
        *slot_of(record, record->entries.items[i].name) = (uint32_t)i + 1;
    record->indexed = record->entries.count;
}

/* The number of an entry, from 1. Entries mostly come in the order in which they are asked for: the
   table is made when one does not. */
static size_t number_of(struct course_record *record, const char *name)
{
    if (record->next < record->entries.count &&
        strcmp(record->entries.items[record->next].name, name) == 0)
        return ++record->next;
    if (record->indexed != record->entries.count || !record->slots)
        make_index(record);
    size_t number = *slot_of(record, name);
    if (number != NO_ENTRY)
        record->next = number;
    return number;
}

static struct recorded *find(struct course_record *record, const char *name)
{
    size_t number = number_of(record, name);
    return number == NO_ENTRY ? NULL : &record->entries.items[number - 1];
}

const struct recorded *course_record_find(struct course_record *record, const char *name)
{
    struct recorded *entry = find(record, name);
    if (!entry || entry->gone)
        return NULL;
    entry->asked = true;
    return entry;
}

size_t course_record_count(const struct course_record *record)
{
    return record->entries.count;
}

const struct recorded *course_record_get(const struct course_record *record, size_t number)
{
    const struct recorded *entry = &record->entries.items[number];
    return entry->gone ? NULL : entry;
}

/* ---- changes ------------------------------------------------------------------------------ */

const char *record_keep_text(struct course_record *record, const char *text, size_t length)
{
    enum { PIECE = 4096 };
    if (record->texts.room <= length) {
        record->texts.room = length < PIECE ? PIECE : length + 1;
        record->texts.at = arena_room(record->arena, record->texts.room);
    }
    char *copy = record->texts.at;
    memcpy(copy, text, length);
    copy[length] = '\0';
    record->texts.at += length + 1;
    record->texts.room -= length + 1;
    return copy;
}

const struct digest *record_keep_key(struct course_record *record, const struct digest *key)
{
    for (size_t i = record->keys.count; i-- > 0;) /* the newest is the likeliest */
        if (record->keys.items[i] == key || digest_equal(*record->keys.items[i], *key))
            return record->keys.items[i];
    struct digest *copy = arena_room(record->arena, sizeof *copy);
    *copy = *key;
    *vector_push(&record->keys, record->arena) = copy;
    return copy;
}

void course_record_expect(struct course_record *record, size_t more)
{
    if (record->entries.room - record->entries.count >= more)
        return;
    record->entries.room = record->entries.count + more;
    record->entries.items =
        memory_resize(record->entries.items, record->entries.room * sizeof *record->entries.items);
}

void record_add(struct course_record *record, const struct recorded *entry)
{
    const size_t files = (size_t)entry->count + entry->left_count;
    if (record->entries.count == record->entries.room)
        course_record_expect(record, record->entries.count / 2 + 1000);
    struct recorded *added = &record->entries.items[record->entries.count++];
    *added = *entry;
    added->outputs = arena_array_room(record->arena, files, sizeof *added->outputs);
    added->left = added->outputs + added->count;
    if (entry->count)
        memcpy(added->outputs, entry->outputs, entry->count * sizeof *added->outputs);
    if (entry->left_count)
        memcpy(added->left, entry->left, entry->left_count * sizeof *added->left);
}

/* Copies files over others, and keeps of those the places that are the same. */
static void put_files(struct course_record *record, struct recorded_file *to,
                      const struct recorded_file *from, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *place = to[i].place;
        to[i] = from[i];
        if (!place || strcmp(place, from[i].place) != 0)
            to[i].place = record_keep_text(record, from[i].place, strlen(from[i].place));
        else
            to[i].place = place;
    }
}

/* What an entry is replaced by is mostly of the same size. */
static void replace_entry(struct course_record *record, struct recorded *known,
                          const struct recorded *entry)
{
    struct recorded new = *entry;
    new.name = known->name;
    new.outputs = known->outputs;
    new.left = known->left;
    if (known->count != new.count || known->left_count != new.left_count) {
        new.outputs =
            arena_array(record->arena, (size_t) new.count + new.left_count, sizeof *new.outputs);
        new.left = new.outputs + new.count;
    }
    put_files(record, new.outputs, entry->outputs, entry->count);
    put_files(record, new.left, entry->left, entry->left_count);
    *known = new;
}

void record_take(struct course_record *record, const struct recorded *entry)
{
    size_t number = number_of(record, entry->name);
    if (number == NO_ENTRY) {
        struct recorded nothing = *entry;
        nothing.count = nothing.left_count = 0;
        record_add(record, &nothing);
        number = record->entries.count;
        if (is_index_full(record))
            make_index(record);
        *slot_of(record, entry->name) = (uint32_t)number;
        record->indexed = record->entries.count;
    }
    replace_entry(record, &record->entries.items[number - 1], entry);
}

void course_record_put(struct course_record *record, const struct recorded *entry)
{
    struct recorded own = *entry;
    own.asked = true;
    own.key = record_keep_key(record, entry->key);
    record_take(record, &own);
    record->changed = true;
}

void course_record_forget(struct course_record *record, const char *name)
{
    struct recorded *entry = find(record, name);
    if (!entry)
        return;
    entry->count = entry->left_count = 0;
    entry->gone = true;
    record->changed = true;
}

const struct recorded_fonts *course_record_fonts(const struct course_record *record)
{
    return &record->fonts;
}

void course_record_set_fonts(struct course_record *record, const struct recorded_fonts *fonts)
{
    record->fonts = *fonts;
    record->fonts.files = arena_array(record->arena, fonts->count, sizeof *fonts->files);
    for (size_t i = 0; i < fonts->count; i++) {
        record->fonts.files[i] = fonts->files[i];
        record->fonts.files[i].path =
            record_keep_text(record, fonts->files[i].path, strlen(fonts->files[i].path));
    }
    record->changed = true;
}

bool course_record_changed(const struct course_record *record)
{
    return record->changed;
}

/* ---- the whole ----------------------------------------------------------------------------- */

static int by_name(const void *a, const void *b)
{
    return strcmp(((const struct recorded *)a)->name, ((const struct recorded *)b)->name);
}

void record_sort(struct course_record *record)
{
    struct recorded *items = record->entries.items;
    size_t i = 1, count = record->entries.count;
    while (i < count && strcmp(items[i - 1].name, items[i].name) < 0)
        i++;
    if (i >= count)
        return;
    qsort(items, count, sizeof *items, by_name);
    record->indexed = SIZE_MAX; /* the table is to be made anew */
}

void course_record_free(struct course_record *record)
{
    if (record->journal >= 0)
        close(record->journal);
    memory_free(record->entries.items);
    memory_free(record->slots);
    arena_free(record->arena);
    memory_free(record);
}
