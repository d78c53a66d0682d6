#include "base/file.h"
#include "course/course_record_int.h"

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

/* ---- files -------------------------------------------------------------------------------- */

/* The name of a share's file: "record", "record.2-of-7". */
static void file_name(const char *stem, struct course_share share, char name[NAME_ROOM])
{
    if (share.count <= 1)
        snprintf(name, NAME_ROOM, "%s", stem);
    else
        snprintf(name, NAME_ROOM, "%s.%" PRIu32 "-of-%" PRIu32, stem, share.number, share.count);
}

enum reading { READ_GOOD, READ_NONE, READ_FOREIGN, READ_FAILED /* with errno */ };

/* Absent, foreign and unreadable differ: only an absent file means that there is no record. */
static enum reading read_file(struct course_record *record, const char *name, bool journal)
{
    struct stat status;
    int descriptor = openat(record->own, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (descriptor < 0)
        return errno == ENOENT                    ? READ_NONE
               : errno == ELOOP || errno == ENXIO ? READ_FOREIGN
                                                  : READ_FAILED;
    enum reading reading = READ_GOOD;
    if (fstat(descriptor, &status) != 0)
        reading = READ_FAILED;
    else if (!S_ISREG(status.st_mode))
        reading = READ_FOREIGN;
    else if (!record_read(record, descriptor, journal))
        reading = errno ? READ_FAILED : READ_FOREIGN;
    descriptor_close(descriptor);
    return reading;
}

/* False with errno if the system cannot read them. */
static bool read_both(struct course_record *record, struct course_share share)
{
    char name[NAME_ROOM];
    size_t groups = record->groups, damages = record->damages;
    file_name(RECORD, share, name);
    enum reading reading = read_file(record, name, false);
    if (reading == READ_FAILED)
        return false;
    if (reading == READ_FOREIGN)
        say("ignoring the record '%s/%s': it is not one of this version", COURSE_OUT_OWN, name);
    if (record->damages > damages)
        say("the record '%s/%s' is damaged: what it lost is made again, and no file is deleted",
            COURSE_OUT_OWN, name);
    file_name(JOURNAL, share, name);
    if (read_file(record, name, true) == READ_FAILED)
        return false;
    record->changed |= record->groups > groups || record->damages > damages;
    return true;
}

static struct course_record *new_record(int own, struct course_share share)
{
    struct course_record *record = memory_alloc(sizeof *record);
    *record = (struct course_record){
        .own = own, .share = share, .arena = arena_new(), .journal = -1, .course = {"", ""}};
    return record;
}

/* Returns NULL and preserves errno. */
static struct course_record *give_up(struct course_record *record)
{
    int problem = errno;
    course_record_free(record);
    errno = problem;
    return NULL;
}

struct course_record *course_record_load(int own, struct course_share share)
{
    struct course_record *record = new_record(own, share);
    if (own >= 0 && !read_both(record, (struct course_share){1, 1}))
        return give_up(record);
    record->reads_own = share.count > 1;
    if (own >= 0 && record->reads_own && !read_both(record, share))
        return give_up(record);
    record->next = 0;
    return record;
}

/* The newline ends a line that an interrupted run may have left unfinished. */
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
    uint32_t sum = record_write_fingerprint(&text, entry->fingerprint);
    record_write_entry(&text, entry, sum);
    bool written = descriptor_write(record->journal, text.bytes, text.length);
    buffer_release(&text);
    return written;
}

/* Writes in pieces, because the record may be long. */
static bool write_record(struct course_record *record, int descriptor, course_record_keep *keep,
                         void *closure)
{
    enum { PIECE = 32 * 1024 };
    struct buffer text = {0};
    const struct digest *fingerprint = NULL;
    bool written = true;
    uint32_t sum = RECORD_SUM_START;
    size_t written_count = 0;
    record_write_head(&text, record);
    for (size_t i = 0; written && i < record->entries.count; i++) {
        const struct recorded *entry = &record->entries.items[i];
        if (entry->gone || (keep && !keep(closure, entry)))
            continue;
        if (entry->fingerprint != fingerprint)
            sum = record_write_fingerprint(&text, fingerprint = entry->fingerprint);
        record_write_entry(&text, entry, sum);
        written_count++;
        if (text.length < PIECE)
            continue;
        written = descriptor_write(descriptor, text.bytes, text.length);
        text.length = 0;
    }
    buffer_format(&text, RECORD_END "%zx\n", written_count);
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
    descriptor_close(record->journal);
    record->journal = -1;
    file_name(JOURNAL, record->share, name);
    unlinkat(record->own, name, 0);
}

bool course_record_save(struct course_record *record, course_record_keep *keep, void *closure)
{
    record_sort(record);
    if (!replace(record, keep, closure))
        return false;
    drop_journal(record);
    record->changed = false;
    return true;
}

/* ---- shares ------------------------------------------------------------------------------- */

/* Reads the share from "record.2-of-7". False for other names. */
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

/* False with errno if it failed. */
typedef bool on_share(struct course_record *record, struct course_share share, const char *name,
                      void *closure);

/* False with errno if the folder could not be read, or as soon as `act` fails. */
static bool each_share(struct course_record *record, const char *stem, on_share *act, void *closure)
{
    int again = dup(record->own);
    DIR *entries = again < 0 ? NULL : fdopendir(again);
    if (!entries) {
        descriptor_close(again);
        return false;
    }
    rewinddir(entries);
    struct course_share share;
    bool good = true;
    errno = 0;
    for (struct dirent *entry; good && (entry = readdir(entries));) {
        good = !share_of(entry->d_name, stem, &share) || act(record, share, entry->d_name, closure);
        errno = good ? 0 : errno;
    }
    int problem = errno;
    closedir(entries);
    errno = problem;
    return problem == 0;
}

struct merging {
    course_record_better *better;
    void *closure;
    size_t count;
};

/* The share's record is freed soon, so its names are copied. */
static void put_of_share(struct course_record *record, const struct recorded *entry)
{
    struct recorded own = *entry;
    own.name = record_keep_text(record, entry->name, strlen(entry->name));
    course_record_put(record, &own);
}

static bool merge_share(struct course_record *record, struct course_share share, const char *name,
                        void *closure)
{
    struct merging *merging = closure;
    (void)name;
    struct course_record *other = new_record(record->own, share);
    if (!read_both(other, share))
        return give_up(other);
    for (size_t i = 0; i < other->entries.count; i++) {
        const struct recorded *entry = &other->entries.items[i];
        const struct recorded *old = course_record_find(record, entry->name);
        if (!old || merging->better(merging->closure, old, entry))
            put_of_share(record, entry);
    }
    if (other->fonts.count && !record->fonts.count)
        course_record_set_fonts(record, &other->fonts);
    if (*other->course.from)
        course_record_set_course(record, other->course);
    record->damages += other->damages;
    merging->count++;
    course_record_free(other);
    return true;
}

/* A share that was killed before it wrote a record may still have a journal. */
static bool merge_journal(struct course_record *record, struct course_share share, const char *name,
                          void *closure)
{
    char whole[NAME_ROOM];
    file_name(RECORD, share, whole);
    return faccessat(record->own, whole, F_OK, 0) == 0 || merge_share(record, share, name, closure);
}

bool course_record_merge(struct course_record *record, course_record_better *better, void *closure,
                         size_t *count)
{
    struct merging merging = {better, closure, 0};
    if (!each_share(record, RECORD, merge_share, &merging) ||
        !each_share(record, JOURNAL, merge_journal, &merging))
        return false;
    for (size_t i = 0; i < record->entries.count; i++) /* merging asked, not a lesson */
        record->entries.items[i].asked = false;
    *count = merging.count;
    return true;
}

static bool drop_share(struct course_record *record, struct course_share share, const char *name,
                       void *closure)
{
    (void)share, (void)closure;
    unlinkat(record->own, name, 0);
    return true;
}

void course_record_drop_shares(struct course_record *record)
{
    each_share(record, RECORD, drop_share, NULL);
    each_share(record, JOURNAL, drop_share, NULL);
    each_share(record, "lock", drop_share, NULL);
}
