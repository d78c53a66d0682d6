#include "base/file.h"
#include "course/course_record_int.h"

/* ---- finding ------------------------------------------------------------------------------ */

#define NO_ENTRY SIZE_MAX

/* Lessons mostly come in the order of the record: the table is only made once one does not. */
static size_t number_of(struct course_record *record, const char *name)
{
    const struct recorded *items = record->entries.items;
    if (record->next < record->entries.count && strcmp(items[record->next].name, name) == 0)
        return record->next++;
    for (; record->indexed < record->entries.count; record->indexed++)
        table_add(&record->table, hash_text(items[record->indexed].name), record->indexed, NULL);
    struct table_search search = table_search(&record->table, hash_text(name));
    for (size_t i; table_next(&search, &i);) {
        if (strcmp(items[i].name, name) == 0) {
            record->next = i + 1;
            return i;
        }
    }
    return NO_ENTRY;
}

void record_forget_index(struct course_record *record)
{
    table_clear(&record->table);
    record->indexed = 0;
}

static struct recorded *find(struct course_record *record, const char *name)
{
    size_t number = number_of(record, name);
    return number == NO_ENTRY ? NULL : &record->entries.items[number];
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

/* ---- changing ----------------------------------------------------------------------------- */

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

const struct digest *record_keep_fingerprint(struct course_record *record,
                                             const struct digest *fingerprint)
{
    for (size_t i = record->fingerprints.count; i-- > 0;) /* most likely the newest */
        if (record->fingerprints.items[i] == fingerprint ||
            digest_equal(*record->fingerprints.items[i], *fingerprint))
            return record->fingerprints.items[i];
    struct digest *copy = arena_room(record->arena, sizeof *copy);
    *copy = *fingerprint;
    *vector_push(&record->fingerprints, record->arena) = copy;
    return copy;
}

void course_record_expect(struct course_record *record, size_t more)
{
    vector_reserve(&record->entries, record->entries.count + more, NULL);
}

void record_add(struct course_record *record, const struct recorded *entry)
{
    const size_t files = (size_t)entry->count + entry->left_count;
    struct recorded *added = vector_push(&record->entries, NULL);
    *added = *entry;
    added->outputs = arena_array_room(record->arena, files, sizeof *added->outputs);
    added->left = added->outputs + added->count;
    if (entry->count)
        memcpy(added->outputs, entry->outputs, entry->count * sizeof *added->outputs);
    if (entry->left_count)
        memcpy(added->left, entry->left, entry->left_count * sizeof *added->left);
}

/* Overwrites files with others; a place that stays the same keeps its text. */
static void put_files(struct course_record *record, struct recorded_file *to,
                      const struct recorded_file *from, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *path = to[i].path;
        to[i] = from[i];
        if (!path || strcmp(path, from[i].path) != 0)
            to[i].path = record_keep_text(record, from[i].path, strlen(from[i].path));
        else
            to[i].path = path;
    }
}

/* The new entry mostly has as many files as the old one: it then takes over their memory. */
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
        number = record->entries.count;
        record_add(record, &nothing);
    }
    replace_entry(record, &record->entries.items[number], entry);
}

void course_record_put(struct course_record *record, const struct recorded *entry)
{
    struct recorded own = *entry;
    own.asked = true;
    own.fingerprint = record_keep_fingerprint(record, entry->fingerprint);
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

struct recorded_course course_record_course(const struct course_record *record)
{
    return record->course;
}

void course_record_set_course(struct course_record *record, struct recorded_course course)
{
    if (strcmp(record->course.from, course.from) == 0 &&
        strcmp(record->course.title, course.title) == 0)
        return;
    record->course.from = record_keep_text(record, course.from, strlen(course.from));
    record->course.title = record_keep_text(record, course.title, strlen(course.title));
    record->changed = true;
}

bool course_record_is_damaged(const struct course_record *record)
{
    return record->damages > 0;
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

/* ---- sorting and freeing ------------------------------------------------------------------ */

static int by_name(const void *a, const void *b)
{
    return strcmp(((const struct recorded *)a)->name, ((const struct recorded *)b)->name);
}

void record_sort(struct course_record *record)
{
    const struct recorded *items = record->entries.items;
    size_t i = 1, count = record->entries.count;
    while (i < count && strcmp(items[i - 1].name, items[i].name) < 0)
        i++;
    if (i >= count)
        return;
    vector_sort(&record->entries, by_name);
    record_forget_index(record);
}

void course_record_free(struct course_record *record)
{
    if (!record)
        return;
    descriptor_close(record->journal);
    vector_release(&record->entries);
    table_release(&record->table);
    arena_free(record->arena);
    memory_free(record);
}
