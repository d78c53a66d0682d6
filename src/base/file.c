#include "base/file.h"

#include "base/arena.h"
#include "base/path.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { READ_CHUNK = 64 * 1024, WRITE_CHUNK = 64 * 1024 };

static bool is_standard(const char *path)
{
    return strcmp(path, "-") == 0;
}

struct file_stamp file_stamp(const struct stat *status)
{
    const int64_t second = 1000000000;
    return (struct file_stamp){
        .size = (uint64_t)status->st_size,
        .file = status->st_ino,
        .changed = status->st_mtim.tv_sec * second + status->st_mtim.tv_nsec,
        .touched = status->st_ctim.tv_sec * second + status->st_ctim.tv_nsec,
    };
}

/* ---- reading ------------------------------------------------------------------------------ */

static bool read_all(int descriptor, size_t most, struct buffer *out)
{
    char *chunk = memory_alloc(READ_CHUNK);
    size_t total = 0;
    int problem = 0;
    for (;;) {
        ssize_t got = read(descriptor, chunk, READ_CHUNK);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            problem = errno;
        if (got <= 0)
            break;
        total += (size_t)got;
        if (total > most) {
            problem = EFBIG;
            break;
        }
        buffer_add(out, chunk, (size_t)got);
    }
    memory_free(chunk);
    errno = problem;
    return problem == 0;
}

/* Reads and closes; of a plain file only if there is a stamp to fill in. */
static bool read_opened(int descriptor, size_t most, struct buffer *out, struct file_stamp *stamp)
{
    struct stat status;
    if (descriptor < 0)
        return false;
    bool read_it = fstat(descriptor, &status) == 0;
    if (read_it && (stamp ? !S_ISREG(status.st_mode) : S_ISDIR(status.st_mode))) {
        errno = stamp ? EINVAL : EISDIR;
        read_it = false;
    }
    if (read_it && stamp)
        *stamp = file_stamp(&status);
    read_it = read_it && read_all(descriptor, most, out);
    descriptor_close(descriptor);
    return read_it;
}

bool file_read(const char *path, size_t most, struct buffer *out)
{
    if (is_standard(path))
        return read_all(STDIN_FILENO, most, out);
    return read_opened(open(path, O_RDONLY | O_CLOEXEC), most, out, NULL);
}

bool file_read_plain(const char *path, size_t most, struct buffer *out, struct file_stamp *stamp)
{
    return read_opened(open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY), most, out, stamp);
}

/* ---- writing ------------------------------------------------------------------------------ */

/*
 * There are two ways to write. A plain file, or one that does not exist yet, is written under
 * another name and renamed. Standard output, devices and pipes have no old content to save, and are
 * written directly.
 */
struct file_output {
    int descriptor;
    char *place;     /* the file's final path; NULL: written directly */
    char *temporary; /* the path it is written under */
    char *waiting;   /* bytes that are not written yet */
    size_t waiting_length;
    int problem; /* the first errno; nothing is written after it */
    struct file_output *next;
};

/* Open outputs with a temporary file. Changed only with signals blocked, as
   file_output_abandon_all() reads it in a signal handler. */
static struct file_output *open_outputs;

static void hold_signals(sigset_t *before)
{
    sigset_t all;
    sigfillset(&all);
    sigprocmask(SIG_BLOCK, &all, before);
}

static void release_signals(const sigset_t *before)
{
    int problem = errno;
    sigprocmask(SIG_SETMASK, before, NULL);
    errno = problem;
}

static char *copy_text(const char *text, size_t length)
{
    char *copy = memory_alloc(length + 1);
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

/* Makes a new file in the folder of `place`, and lists it in open_outputs before any signal comes.
 */
static bool open_beside(struct file_output *output)
{
    static unsigned serial;
    size_t folder = path_folder_length(output->place), room = folder + 64;
    output->temporary = memory_alloc(room);
    memcpy(output->temporary, output->place, folder);
    sigset_t before;
    hold_signals(&before);
    do {
        snprintf(output->temporary + folder, room - folder, ".ratamark-%ld-%u.part", (long)getpid(),
                 serial++);
        output->descriptor = open(output->temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    } while (output->descriptor < 0 && errno == EEXIST);
    if (output->descriptor >= 0) {
        output->next = open_outputs;
        open_outputs = output;
    }
    release_signals(&before);
    return output->descriptor >= 0;
}

/* Sets place and descriptor. A link is followed, so that the link itself is not replaced. */
static bool open_place(struct file_output *output, const char *path)
{
    struct stat status;
    if (stat(path, &status) != 0) {
        if (errno != ENOENT)
            return false;
        output->place = copy_text(path, strlen(path));
        return open_beside(output);
    }
    if (S_ISDIR(status.st_mode)) {
        errno = EISDIR;
        return false;
    }
    if (!S_ISREG(status.st_mode)) {
        output->descriptor = open(path, O_WRONLY | O_CLOEXEC);
        return output->descriptor >= 0;
    }
    /* Renaming would replace even a file that its owner made read-only. */
    if (access(path, W_OK) != 0)
        return false;
    char *real = realpath(path, NULL);
    if (!real)
        return false;
    output->place = copy_text(real, strlen(real));
    free(real);
    if (!open_beside(output))
        return false;
    fchmod(output->descriptor, status.st_mode & 07777);
    return true;
}

static void free_output(struct file_output *output)
{
    memory_free(output->place);
    memory_free(output->temporary);
    memory_free(output->waiting);
    memory_free(output);
}

struct file_output *file_output_open(const char *path)
{
    struct file_output *output = memory_alloc(sizeof *output);
    *output = (struct file_output){.descriptor = -1};
    if (is_standard(path)) {
        output->descriptor = STDOUT_FILENO;
    } else if (!open_place(output, path)) {
        free_output(output);
        return NULL;
    }
    output->waiting = memory_alloc(WRITE_CHUNK);
    return output;
}

bool descriptor_write(int descriptor, const void *bytes, size_t length)
{
    for (const char *next = bytes; length;) {
        ssize_t taken = write(descriptor, next, length);
        if (taken < 0 && errno != EINTR)
            return false;
        if (taken > 0) {
            next += taken;
            length -= (size_t)taken;
        }
    }
    return true;
}

void descriptor_close(int descriptor)
{
    int problem = errno;
    if (descriptor >= 0)
        close(descriptor);
    errno = problem;
}

static void give(struct file_output *output, const void *bytes, size_t length)
{
    if (!output->problem && !descriptor_write(output->descriptor, bytes, length))
        output->problem = errno;
}

static void give_waiting(struct file_output *output)
{
    give(output, output->waiting, output->waiting_length);
    output->waiting_length = 0;
}

bool file_output_write(struct file_output *output, const void *bytes, size_t length)
{
    if (length > WRITE_CHUNK - output->waiting_length)
        give_waiting(output);
    if (length > WRITE_CHUNK) {
        give(output, bytes, length);
    } else if (length) {
        memcpy(output->waiting + output->waiting_length, bytes, length);
        output->waiting_length += length;
    }
    errno = output->problem;
    return output->problem == 0;
}

static void unlist(struct file_output *output)
{
    sigset_t before;
    hold_signals(&before);
    struct file_output **link = &open_outputs;
    while (*link && *link != output)
        link = &(*link)->next;
    if (*link)
        *link = output->next;
    release_signals(&before);
}

/* A new name survives a power cut only if the folder is synced, too. Not every file system can do
   that, so failures are ignored: the file itself is safe by now. */
static void sync_folder(const char *place)
{
    size_t length = path_folder_length(place);
    char *folder = copy_text(length ? place : ".", length ? length : 1);
    int descriptor = open(folder, O_RDONLY | O_CLOEXEC);
    fsync(descriptor);
    descriptor_close(descriptor);
    memory_free(folder);
}

bool file_output_finish(struct file_output *output)
{
    if (output->descriptor < 0) {
        errno = output->problem;
        return output->problem == 0;
    }
    give_waiting(output);
    if (!output->problem && output->place && fsync(output->descriptor) != 0)
        output->problem = errno;
    if (output->descriptor != STDOUT_FILENO && close(output->descriptor) != 0 && !output->problem)
        output->problem = errno;
    output->descriptor = -1;
    errno = output->problem;
    return output->problem == 0;
}

bool file_output_commit(struct file_output *output)
{
    file_output_finish(output);
    if (output->place) {
        if (!output->problem && rename(output->temporary, output->place) != 0)
            output->problem = errno;
        if (output->problem)
            unlink(output->temporary);
        else
            sync_folder(output->place);
        unlist(output);
    }
    errno = output->problem;
    free_output(output);
    return errno == 0;
}

void file_output_abandon(struct file_output *output)
{
    if (!output)
        return;
    if (output->descriptor >= 0 && output->descriptor != STDOUT_FILENO)
        close(output->descriptor);
    if (output->place) {
        unlink(output->temporary);
        unlist(output);
    }
    free_output(output);
}

void file_output_abandon_all(void)
{
    for (struct file_output *output = open_outputs; output; output = output->next)
        unlink(output->temporary);
}
