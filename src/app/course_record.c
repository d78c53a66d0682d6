#include "app/course_record.h"

#include "app/course_record_int.h"
#include "base/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define RECORD "record"
#define JOURNAL "journal"

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
    if (!entry || is_gone(entry))
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
    return is_gone(entry) ? NULL : entry;
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

/* ---- files -------------------------------------------------------------------------------- */

/* The name of a share's file: "record", "record.2-of-7". */
static void file_name(const char *stem, struct course_share share, char name[NAME_ROOM])
{
    if (share.count <= 1)
        snprintf(name, NAME_ROOM, "%s", stem);
    else
        snprintf(name, NAME_ROOM, "%s.%" PRIu32 "-of-%" PRIu32, stem, share.number, share.count);
}

static bool read_file(struct course_record *record, const char *name, bool journal)
{
    int descriptor =
        record->own < 0 ? -1
                        : openat(record->own, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    struct stat status;
    if (descriptor < 0 || fstat(descriptor, &status) != 0 || !S_ISREG(status.st_mode)) {
        if (descriptor >= 0)
            close(descriptor);
        return false;
    }
    bool understood = record_read(record, descriptor, journal);
    close(descriptor);
    return understood;
}

static void read_both(struct course_record *record, struct course_share share)
{
    char name[NAME_ROOM];
    file_name(RECORD, share, name);
    if (!read_file(record, name, false) && record->own >= 0 &&
        faccessat(record->own, name, F_OK, 0) == 0)
        say("the record '%s/%s' cannot be understood, and is made anew", COURSE_OUT_OWN, name);
    size_t before = record->groups;
    file_name(JOURNAL, share, name);
    read_file(record, name, true);
    record->changed |= record->groups > before;
}

struct course_record *course_record_load(int own, struct course_share share)
{
    struct course_record *record = memory_alloc(sizeof *record);
    *record =
        (struct course_record){.own = own, .share = share, .arena = arena_new(), .journal = -1};
    read_both(record, (struct course_share){1, 1});
    size_t of_whole = record->entries.count;
    if (share.count > 1)
        read_both(record, share);
    for (size_t i = of_whole; i < record->entries.count; i++)
        record->entries.items[i].own = true;
    record->next = 0;
    return record;
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

/* What was cut short at the end of an older journal is ended by the line end in front. */
static bool open_journal(struct course_record *record)
{
    char name[NAME_ROOM];
    if (record->journal >= 0)
        return true;
    file_name(JOURNAL, record->share, name);
    record->journal =
        openat(record->own, name, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC | O_NOFOLLOW, 0666);
    return record->journal >= 0 && descriptor_write(record->journal, "\n", 1);
}

bool course_record_append(struct course_record *record, const struct recorded *entry)
{
    if (!open_journal(record))
        return false;
    struct buffer text = {0};
    record_write_key(&text, entry->key);
    record_write_entry(&text, entry);
    buffer_format(&text, "done %" PRIx32 "\n",
                  record_add_to_sum(RECORD_SUM_START, text.bytes, text.length));
    bool written = descriptor_write(record->journal, text.bytes, text.length);
    int problem = errno;
    buffer_release(&text);
    errno = problem;
    return written;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(((const struct recorded *)a)->name, ((const struct recorded *)b)->name);
}

/* They mostly are in order already. */
static void sort_entries(struct course_record *record)
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

/* Written a piece at a time: it may be long. */
static bool write_record(struct course_record *record, int descriptor, course_record_keep *keep,
                         void *closure)
{
    enum { PIECE = 32 * 1024 };
    struct buffer text = {0};
    const struct digest *key = NULL;
    bool written = true;
    record_write_head(&text, &record->fonts);
    for (size_t i = 0; written && i < record->entries.count; i++) {
        const struct recorded *entry = &record->entries.items[i];
        if (is_gone(entry) || (keep && !keep(closure, entry)))
            continue;
        if (entry->key != key)
            record_write_key(&text, key = entry->key);
        record_write_entry(&text, entry);
        if (text.length < PIECE)
            continue;
        written = descriptor_write(descriptor, text.bytes, text.length);
        text.length = 0;
    }
    buffer_add_text(&text, RECORD_END "\n");
    written = written && descriptor_write(descriptor, text.bytes, text.length);
    buffer_release(&text);
    return written && fsync(descriptor) == 0;
}

static bool replace(struct course_record *record, course_record_keep *keep, void *closure)
{
    char name[NAME_ROOM], beside[NAME_ROOM];
    file_name(RECORD, record->share, name);
    file_name("new-record", record->share, beside);
    int descriptor =
        openat(record->own, beside, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (descriptor < 0)
        return false;
    bool written = write_record(record, descriptor, keep, closure);
    written &= close(descriptor) == 0;
    if (written && renameat(record->own, beside, record->own, name) == 0)
        return fsync(record->own) == 0 || errno == EINVAL;
    int problem = errno;
    unlinkat(record->own, beside, 0);
    errno = problem;
    return false;
}

static void drop_journal(struct course_record *record)
{
    char name[NAME_ROOM];
    if (record->journal >= 0)
        close(record->journal);
    record->journal = -1;
    file_name(JOURNAL, record->share, name);
    unlinkat(record->own, name, 0);
}

bool course_record_save(struct course_record *record, course_record_keep *keep, void *closure)
{
    sort_entries(record);
    bool saved = replace(record, keep, closure);
    int problem = errno;
    if (saved) {
        drop_journal(record);
        record->changed = false;
    }
    errno = problem;
    return saved;
}

/* ---- shares ------------------------------------------------------------------------------- */

/* "record.2-of-7": the share; false for other names. */
static bool share_of(const char *name, const char *stem, struct course_share *share)
{
    char again[NAME_ROOM];
    size_t length = strlen(stem);
    if (strncmp(name, stem, length) != 0 || name[length] != '.' ||
        sscanf(name + length, ".%" SCNu32 "-of-%" SCNu32, &share->number, &share->count) != 2)
        return false;
    file_name(stem, *share, again);
    return strcmp(again, name) == 0;
}

typedef void on_share(struct course_record *record, struct course_share share, const char *name,
                      void *closure);

static void each_share(struct course_record *record, const char *stem, on_share *act, void *closure)
{
    int again = dup(record->own);
    DIR *entries = again < 0 ? NULL : fdopendir(again);
    if (!entries)
        return;
    rewinddir(entries);
    struct course_share share;
    for (struct dirent *entry; (entry = readdir(entries));)
        if (share_of(entry->d_name, stem, &share))
            act(record, share, entry->d_name, closure);
    closedir(entries);
}

struct merging {
    course_record_better *better;
    void *closure;
    size_t count;
};

/* The share's record is not there for long. */
static void put_of_share(struct course_record *record, const struct recorded *entry)
{
    struct recorded own = *entry;
    own.name = record_keep_text(record, entry->name, strlen(entry->name));
    course_record_put(record, &own);
}

static void merge_share(struct course_record *record, struct course_share share, const char *name,
                        void *closure)
{
    struct merging *merging = closure;
    (void)name;
    struct course_record *other = memory_alloc(sizeof *other);
    *other = (struct course_record){
        .own = record->own, .share = share, .arena = arena_new(), .journal = -1};
    read_both(other, share);
    for (size_t i = 0; i < other->entries.count; i++) {
        const struct recorded *entry = &other->entries.items[i];
        const struct recorded *old = course_record_find(record, entry->name);
        if (!old || merging->better(merging->closure, old, entry))
            put_of_share(record, entry);
    }
    if (other->fonts.count && !record->fonts.count)
        course_record_set_fonts(record, &other->fonts);
    merging->count++;
    course_record_free(other);
}

/* A share that was killed before its first record has a journal all the same. */
static void merge_journal(struct course_record *record, struct course_share share, const char *name,
                          void *closure)
{
    char whole[NAME_ROOM];
    file_name(RECORD, share, whole);
    if (faccessat(record->own, whole, F_OK, 0) != 0)
        merge_share(record, share, name, closure);
}

size_t course_record_merge(struct course_record *record, course_record_better *better,
                           void *closure)
{
    struct merging merging = {better, closure, 0};
    each_share(record, RECORD, merge_share, &merging);
    each_share(record, JOURNAL, merge_journal, &merging);
    for (size_t i = 0; i < record->entries.count; i++) /* that was us, and no lesson */
        record->entries.items[i].asked = false;
    return merging.count;
}

static void drop_share(struct course_record *record, struct course_share share, const char *name,
                       void *closure)
{
    (void)share, (void)closure;
    unlinkat(record->own, name, 0);
}

void course_record_drop_shares(struct course_record *record)
{
    each_share(record, RECORD, drop_share, NULL);
    each_share(record, JOURNAL, drop_share, NULL);
    each_share(record, "lock", drop_share, NULL);
}
