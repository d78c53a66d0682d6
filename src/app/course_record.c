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

static size_t *slot_of(const struct course_record *record, const char *name)
{
    size_t mask = record->slot_count - 1;
    for (size_t i = hash_of(name) & mask;; i = (i + 1) & mask)
        if (record->slots[i] == NO_ENTRY ||
            strcmp(record->entries.items[record->slots[i] - 1].name, name) == 0)
            return &record->slots[i];
}

static void grow_slots(struct course_record *record)
{
    size_t wanted = record->slot_count ? record->slot_count * 2 : 256;
    while (wanted < record->entries.count * 2)
        wanted *= 2;
    memory_free(record->slots);
    record->slots = memory_alloc(wanted * sizeof *record->slots);
    memset(record->slots, 0, wanted * sizeof *record->slots);
    record->slot_count = wanted;
    for (size_t i = 0; i < record->entries.count; i++)
        *slot_of(record, record->entries.items[i].name) = i + 1;
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
        grow_slots(record);
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

static const char *copy_text(struct course_record *record, const char *text)
{
    return arena_copy_text(record->arena, text, strlen(text));
}

static struct recorded_file *copy_files(struct course_record *record,
                                        const struct recorded_file *files, size_t count)
{
    struct recorded_file *copy = arena_array(record->arena, count, sizeof *copy);
    for (size_t i = 0; i < count; i++) {
        copy[i] = files[i];
        copy[i].place = copy_text(record, files[i].place);
    }
    return copy;
}

void record_add(struct course_record *record, const struct recorded *entry)
{
    size_t room = record->entries.room;
    if (record->entries.count == room) {
        record->entries.room = room ? room + room / 2 : 64;
        record->entries.items = memory_resize(record->entries.items,
                                              record->entries.room * sizeof *record->entries.items);
    }
    record->entries.items[record->entries.count++] = *entry;
}

/* The entry's texts and files live in the record's arena already. */
void record_take(struct course_record *record, const struct recorded *entry)
{
    size_t number = number_of(record, entry->name);
    if (number != NO_ENTRY) {
        struct recorded *known = &record->entries.items[number - 1];
        const char *name = known->name;
        *known = *entry;
        known->name = name;
        known->asked = true;
        return;
    }
    record_add(record, entry);
    if (record->entries.count * 2 > record->slot_count) {
        grow_slots(record);
    } else {
        *slot_of(record, entry->name) = record->entries.count;
        record->indexed = record->entries.count;
    }
}

void course_record_put(struct course_record *record, const struct recorded *entry)
{
    struct recorded own = *entry;
    own.asked = true;
    own.name = copy_text(record, entry->name);
    own.outputs = copy_files(record, entry->outputs, entry->count);
    own.left = copy_files(record, entry->left, entry->left_count);
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
        record->fonts.files[i].path = copy_text(record, fonts->files[i].path);
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
    size_t size = (size_t)status.st_size, have = 0;
    char *bytes = arena_room(record->arena, size + 1);
    for (ssize_t got; have < size && (got = read(descriptor, bytes + have, size - have)) > 0;)
        have += (size_t)got;
    close(descriptor);
    bytes[have] = '\0';
    return record_parse(record, bytes, have, journal);
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
    if (share.count > 1)
        read_both(record, share);
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

bool course_record_append(struct course_record *record, const char *name)
{
    const struct recorded *entry = find(record, name);
    if (!entry || !open_journal(record))
        return false;
    struct buffer text = {0};
    record_write_entry(&text, entry);
    record_end_group(&text, 0);
    bool written = descriptor_write(record->journal, text.bytes, text.length);
    int problem = errno;
    buffer_release(&text);
    errno = problem;
    return written;
}

static int by_name(const void *a, const void *b)
{
    return strcmp((*(const struct recorded *const *)a)->name,
                  (*(const struct recorded *const *)b)->name);
}

/* Written a piece at a time: it may be long. */
static bool write_record(struct course_record *record, int descriptor,
                         const struct recorded *const *entries, size_t count)
{
    enum { PIECE = 256 * 1024 };
    struct buffer text = {0};
    record_write_head(&text, &record->fonts);
    bool written = true;
    for (size_t i = 0; written && i <= count; i++) {
        if (i < count)
            record_write_entry(&text, entries[i]);
        else
            buffer_add_text(&text, RECORD_END);
        if (text.length < PIECE && i < count)
            continue;
        written = descriptor_write(descriptor, text.bytes, text.length);
        text.length = 0;
    }
    buffer_release(&text);
    return written && fsync(descriptor) == 0;
}

static bool replace(struct course_record *record, const struct recorded *const *entries,
                    size_t count)
{
    char name[NAME_ROOM], beside[NAME_ROOM];
    file_name(RECORD, record->share, name);
    file_name("new-record", record->share, beside);
    int descriptor =
        openat(record->own, beside, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (descriptor < 0)
        return false;
    bool written = write_record(record, descriptor, entries, count);
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
    const struct recorded **entries = memory_alloc((record->entries.count + 1) * sizeof *entries);
    size_t count = 0;
    for (size_t i = 0; i < record->entries.count; i++) {
        const struct recorded *entry = &record->entries.items[i];
        if (!is_gone(entry) && (!keep || keep(closure, entry)))
            entries[count++] = entry;
    }
    qsort(entries, count, sizeof *entries, by_name);
    bool saved = replace(record, entries, count);
    int problem = errno;
    memory_free(entries);
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
            course_record_put(record, entry);
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
