#include "course/course_out.h"

#include "base/arena.h"
#include "base/path.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifdef __linux__
int syncfs(int descriptor); /* Linux has it, POSIX does not */
#endif

struct course_out {
    const char *path;
    struct course_share share;
    int folder, own, staging, lock, share_lock; /* descriptors; -1: none */
    char *staging_name;                         /* in our own folder */
    char *near;      /* the folder opened last, "" or ending in `/`; NULL: none */
    int near_folder; /* its descriptor */
};

/* ---- folders ------------------------------------------------------------------------------ */

static int open_folder(int above, const char *name)
{
    return openat(above, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
}

static int make_folder(int above, const char *name)
{
    int folder = open_folder(above, name);
    if (folder >= 0 || errno != ENOENT)
        return folder;
    if (mkdirat(above, name, 0777) != 0 && errno != EEXIST)
        return -1;
    return open_folder(above, name);
}

static void close_near(struct course_out *out)
{
    if (out->near && *out->near)
        close(out->near_folder);
    memory_free(out->near);
    out->near = NULL;
}

/* No lesson has such a name, but a record written by somebody else might. */
static bool leads_up(const char *name)
{
    return strcmp(name, "..") == 0;
}

/* Opens the folders of a place one by one; they are its first `length` bytes. */
static int open_way(struct course_out *out, const char *path, size_t length, bool make)
{
    int folder = out->folder;
    for (size_t at = 0; at < length && folder >= 0;) {
        size_t part = strcspn(path + at, "/");
        struct buffer text = {0};
        buffer_add(&text, path + at, part);
        const char *name = text.bytes;
        errno = ENOTDIR;
        int next = leads_up(name) ? -1
                   : make         ? make_folder(folder, name)
                                  : open_folder(folder, name);
        if (folder != out->folder)
            descriptor_close(folder);
        buffer_release(&text);
        folder = next;
        at += part + 1;
    }
    return folder;
}

/* Opens the folder of a place and keeps it open until another one is needed; `*name`: the file's
 * name. */
static int folder_of(struct course_out *out, const char *path, bool make, const char **name)
{
    size_t length = path_folder_length(path);
    *name = path + length;
    if (out->near && strlen(out->near) == length && memcmp(out->near, path, length) == 0)
        return out->near_folder;
    close_near(out);
    int folder = open_way(out, path, length, make);
    if (folder < 0)
        return -1;
    struct buffer near = {0};
    buffer_add(&near, path, length);
    buffer_add(&near, "", 0);
    out->near = near.bytes;
    out->near_folder = folder;
    return folder;
}

/* Deletes a folder inside our own, with all its files. */
static void clear_folder(int above, const char *name)
{
    int folder = open_folder(above, name);
    DIR *entries = folder < 0 ? NULL : fdopendir(folder);
    if (!entries)
        return;
    for (struct dirent *entry; (entry = readdir(entries));)
        unlinkat(folder, entry->d_name, 0);
    closedir(entries);
    unlinkat(above, name, AT_REMOVEDIR);
}

/* ---- opening ------------------------------------------------------------------------------ */

static enum status say_cannot_write(const char *path)
{
    say_error("cannot write to '%s': %s", path, strerror(errno));
    return STATUS_SYSTEM;
}

/* On a read-only disk some systems refuse to make a folder before they check whether it exists. */
static bool make_if_missing(const char *path)
{
    struct stat status;
    if (mkdir(path, 0777) == 0 || errno == EEXIST)
        return true;
    int problem = errno;
    bool there = stat(path, &status) == 0 && S_ISDIR(status.st_mode);
    errno = problem;
    return there;
}

/* Makes the folder and all folders above it. */
static bool make_all(const char *path)
{
    struct buffer part = {0};
    bool made = true;
    for (const char *at = path; made && *at;) {
        size_t length = strspn(at, "/") + strcspn(at + strspn(at, "/"), "/");
        buffer_add(&part, at, length);
        at += length;
        made = make_if_missing(buffer_text(&part));
    }
    buffer_release(&part);
    return made;
}

/* Locks a file as a whole. If the folder does not support locks (some network folders do not), says
   so and goes on. */
static enum status lock_file(struct course_out *out, int descriptor, short kind)
{
    struct flock lock = {.l_type = kind, .l_whence = SEEK_SET};
    if (fcntl(descriptor, F_SETLK, &lock) == 0)
        return STATUS_GOOD;
    if (errno != EACCES && errno != EAGAIN) {
        say("cannot lock '%s' (%s): do not start another run for it now", out->path,
            strerror(errno));
        return STATUS_GOOD;
    }
    lock = (struct flock){.l_type = kind, .l_whence = SEEK_SET};
    if (fcntl(descriptor, F_GETLK, &lock) == 0 && lock.l_type != F_UNLCK && lock.l_pid > 0)
        say_error("another run (process %ld) is writing to '%s'; wait until it ends",
                  (long)lock.l_pid, out->path);
    else
        say_error("another run is writing to '%s'; wait until it ends", out->path);
    return STATUS_SYSTEM;
}

/* One lock is for the folder: all shares hold it together, a run of the whole course holds it
   alone. Each share also has a lock of its own. */
static enum status lock_out(struct course_out *out, struct course_share share)
{
    char name[64];
    out->lock = openat(out->own, "lock", O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (out->lock < 0)
        return say_cannot_write(out->path);
    enum status status = lock_file(out, out->lock, share.count > 1 ? F_RDLCK : F_WRLCK);
    if (status != STATUS_GOOD || share.count == 1)
        return status;
    snprintf(name, sizeof name, "lock.%" PRIu32 "-of-%" PRIu32, share.number, share.count);
    out->share_lock = openat(out->own, name, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (out->share_lock < 0)
        return say_cannot_write(out->path);
    return lock_file(out, out->share_lock, F_WRLCK);
}

static void share_name(struct buffer *name, struct course_share share)
{
    buffer_format(name, "staging.%" PRIu32 "-of-%" PRIu32 ".", share.number, share.count);
}

/* Deletes what killed runs of this share left behind. The share is locked, so no other run needs
 * it. */
static void clear_leftovers(struct course_out *out)
{
    int again = dup(out->own);
    DIR *entries = again < 0 ? NULL : fdopendir(again);
    if (!entries)
        return;
    struct buffer prefix = {0};
    share_name(&prefix, out->share);
    rewinddir(entries);
    for (struct dirent *entry; (entry = readdir(entries));)
        if (strncmp(entry->d_name, prefix.bytes, prefix.length) == 0)
            clear_folder(out->own, entry->d_name);
    closedir(entries);
    buffer_release(&prefix);
}

enum status course_out_begin(struct course_out *out)
{
    if (out->staging >= 0)
        return STATUS_GOOD;
    struct buffer name = {0};
    share_name(&name, out->share);
    buffer_format(&name, "%ld", (long)getpid());
    out->staging_name = name.bytes;
    out->staging = make_folder(out->own, name.bytes);
    return out->staging < 0 ? say_cannot_write(out->path) : STATUS_GOOD;
}

static struct course_out *new_out(const char *path)
{
    struct course_out *out = memory_alloc(sizeof *out);
    *out = (struct course_out){
        .path = path, .folder = -1, .own = -1, .staging = -1, .lock = -1, .share_lock = -1};
    return out;
}

enum status course_out_open(const char *path, struct course_share share, struct course_out **opened)
{
    struct course_out *out = *opened = new_out(path);
    out->share = share;
    if (!make_all(path))
        return say_cannot_write(path);
    out->folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (out->folder < 0)
        return say_cannot_write(path);
    out->own = make_folder(out->folder, COURSE_OUT_OWN);
    if (out->own < 0)
        return say_cannot_write(path);
    enum status status = lock_out(out, share);
    if (status == STATUS_GOOD)
        clear_leftovers(out);
    return status;
}

struct course_out *course_out_look_at(const char *path)
{
    struct course_out *out = new_out(path);
    out->folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (out->folder < 0) {
        course_out_close(out);
        return NULL;
    }
    out->own = open_folder(out->folder, COURSE_OUT_OWN);
    return out;
}

void course_out_close(struct course_out *out)
{
    if (!out)
        return;
    if (out->staging >= 0)
        clear_folder(out->own, out->staging_name);
    close_near(out);
    descriptor_close(out->staging);
    descriptor_close(out->share_lock);
    descriptor_close(out->lock);
    descriptor_close(out->own);
    descriptor_close(out->folder);
    memory_free(out->staging_name);
    memory_free(out);
}

int course_out_own(const struct course_out *out)
{
    return out->own;
}

/* ---- writing ------------------------------------------------------------------------------ */

bool course_out_stage(struct course_out *out, const char *name, struct staged_file *file)
{
    *file = (struct staged_file){.digester = digester_begin()};
    file->descriptor =
        openat(out->staging, name, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0666);
    return file->descriptor >= 0;
}

bool staged_write(void *closure, const void *bytes, size_t length)
{
    struct staged_file *file = closure;
    digester_add(&file->digester, bytes, length);
    if (!file->problem && !descriptor_write(file->descriptor, bytes, length))
        file->problem = errno;
    errno = file->problem;
    return file->problem == 0;
}

bool staged_end(struct staged_file *file, struct digest *digest, struct file_stamp *stamp)
{
    struct stat status;
    if (!file->problem && fstat(file->descriptor, &status) != 0)
        file->problem = errno;
    if (close(file->descriptor) != 0 && !file->problem)
        file->problem = errno;
    *digest = digester_end(&file->digester);
    if (!file->problem)
        *stamp = file_stamp(&status);
    errno = file->problem;
    return file->problem == 0;
}

void course_out_unstage(struct course_out *out, const char *name)
{
    unlinkat(out->staging, name, 0);
}

bool course_out_sync_one(struct course_out *out, const char *name)
{
    int descriptor = openat(out->staging, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
    bool synced = descriptor >= 0 && fsync(descriptor) == 0;
    descriptor_close(descriptor);
    return synced;
}

/* One wait for many files: syncing each would be limited by the speed of the disk. */
bool course_out_sync(struct course_out *out)
{
#ifdef __linux__
    return syncfs(out->folder) == 0;
#else
    (void)out;
    sync();
    return true;
#endif
}

bool course_out_may_place(struct course_out *out, const char *path)
{
    const char *name;
    struct stat status;
    int folder = folder_of(out, path, true, &name);
    if (folder < 0)
        return false;
    if (fstatat(folder, name, &status, AT_SYMLINK_NOFOLLOW) != 0)
        return errno == ENOENT;
    if (S_ISDIR(status.st_mode)) {
        errno = EISDIR;
        return false;
    }
    /* A rename would replace even a file that its owner made read-only. */
    return !S_ISREG(status.st_mode) || faccessat(folder, name, W_OK, 0) == 0;
}

bool course_out_place(struct course_out *out, const char *name, const char *path,
                      struct file_stamp *stamp)
{
    const char *placed;
    struct stat status;
    int folder = folder_of(out, path, true, &placed);
    if (folder < 0 || renameat(out->staging, name, folder, placed) != 0)
        return false;
    if (fstatat(folder, placed, &status, AT_SYMLINK_NOFOLLOW) == 0)
        *stamp = file_stamp(&status);
    return true;
}

/* ---- looking and deleting ----------------------------------------------------------------- */

/* If a link or file has replaced one of our folders, our file is gone. */
static bool is_absence(int problem)
{
    return problem == ENOENT || problem == ENOTDIR || problem == ELOOP;
}

bool course_out_look(struct course_out *out, const char *path, struct file_stamp *stamp)
{
    const char *name;
    struct stat status;
    int folder = folder_of(out, path, false, &name);
    if (folder < 0 || fstatat(folder, name, &status, AT_SYMLINK_NOFOLLOW) != 0) {
        errno = is_absence(errno) ? ENOENT : errno;
        return false;
    }
    errno = ENOENT;
    if (!S_ISREG(status.st_mode))
        return false;
    *stamp = file_stamp(&status);
    return true;
}

bool course_out_digest(struct course_out *out, const char *path, struct digest *digest)
{
    const char *name;
    int folder = folder_of(out, path, false, &name);
    int descriptor =
        folder < 0 ? -1 : openat(folder, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0)
        return false;
    struct digester digester = digester_begin();
    static char bytes[64 * 1024];
    ssize_t got;
    while ((got = read(descriptor, bytes, sizeof bytes)) > 0 || (got < 0 && errno == EINTR))
        if (got > 0)
            digester_add(&digester, bytes, (size_t)got);
    descriptor_close(descriptor);
    *digest = digester_end(&digester);
    return got == 0;
}

bool course_out_remove(struct course_out *out, const char *path)
{
    const char *name;
    int folder = folder_of(out, path, false, &name);
    if (folder < 0 || unlinkat(folder, name, 0) != 0)
        return false;
    close_near(out);
    struct buffer way = {0};
    buffer_add_text(&way, path);
    for (char *slash; (slash = strrchr(way.bytes, '/'));) {
        *slash = '\0';
        const char *last;
        folder = folder_of(out, way.bytes, false, &last);
        bool gone = folder >= 0 && unlinkat(folder, last, AT_REMOVEDIR) == 0;
        close_near(out);
        if (!gone)
            break;
    }
    buffer_release(&way);
    return true;
}
