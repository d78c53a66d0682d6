#include "app/watch.h"

#include "base/vector.h"
#include "console/input.h"

#include <dirent.h>
#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/stat.h>

#ifndef __linux__

struct watch *watch_new(void)
{
    errno = ENOSYS;
    return NULL;
}

void watch_free(struct watch *watch)
{
    (void)watch;
}

void watch_begin(struct watch *watch)
{
    (void)watch;
}

void watch_file(struct watch *watch, const char *path)
{
    (void)watch, (void)path;
}

void watch_tree(struct watch *watch, const char *folder, const char *except)
{
    (void)watch, (void)folder, (void)except;
}

void watch_courses(struct watch *watch, const char *lesson)
{
    (void)watch, (void)lesson;
}

bool watch_wait(struct watch *watch)
{
    (void)watch;
    errno = ENOSYS;
    return false;
}

#else

#include <poll.h>
#include <sys/inotify.h>
#include <time.h>
#include <unistd.h>

enum {
    QUIET_MS = 10, /* an editor's steps of one save come closer together */
    PATIENCE_MS = 50,
    LEVELS_MAX = 128 /* of folders: a tree this deep is a mistake */
};

/* A finished write, a rename over the name, a new name or link, a permission; the folder itself
   going away. Unfinished writes are left out: half a file is no change yet. */
static const uint32_t changes = IN_CLOSE_WRITE | IN_MOVED_TO | IN_MOVED_FROM | IN_CREATE |
                                IN_DELETE | IN_ATTRIB | IN_DELETE_SELF | IN_MOVE_SELF | IN_ONLYDIR;

/* What is wanted of a folder. */
struct interest {
    int folder;       /* the system's number for it: two paths of one folder have the same */
    const char *name; /* a file's in it; NULL: every lesson and folder */
};

struct watch {
    int descriptor;
    int problem;         /* errno of the first watch that was refused in this round */
    struct arena *arena; /* of a round */
    VECTOR(struct interest) interests;
    int *old; /* numbers of the round before, in rising order; on the heap */
    size_t old_count;
};

struct watch *watch_new(void)
{
    int descriptor = inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
    if (descriptor < 0)
        return NULL;
    struct watch *watch = memory_alloc(sizeof *watch);
    *watch = (struct watch){.descriptor = descriptor, .arena = arena_new()};
    return watch;
}

void watch_free(struct watch *watch)
{
    if (!watch)
        return;
    close(watch->descriptor);
    arena_free(watch->arena);
    memory_free(watch->old);
    memory_free(watch);
}

/* ---- what is watched ---------------------------------------------------------------------- */

static int by_folder(const void *a, const void *b)
{
    int one = ((const struct interest *)a)->folder, other = ((const struct interest *)b)->folder;
    return (one > other) - (one < other);
}

static void sort_interests(struct watch *watch)
{
    if (watch->interests.count)
        qsort(watch->interests.items, watch->interests.count, sizeof *watch->interests.items,
              by_folder);
}

void watch_begin(struct watch *watch)
{
    sort_interests(watch);
    watch->old_count = watch->interests.count;
    watch->old = memory_resize(watch->old, (watch->old_count + 1) * sizeof *watch->old);
    for (size_t i = 0; i < watch->old_count; i++)
        watch->old[i] = watch->interests.items[i].folder;
    arena_reset(watch->arena);
    watch->interests.items = NULL;
    watch->interests.count = watch->interests.room = 0;
    watch->problem = 0;
}

/* False where the folder is not there, is none or may not be read. */
static bool add_interest(struct watch *watch, const char *folder, const char *name)
{
    int number = inotify_add_watch(watch->descriptor, folder, changes);
    if (number >= 0) {
        *vector_push(&watch->interests, watch->arena) = (struct interest){number, name};
        return true;
    }
    bool ours = errno == ENOSPC || errno == ENOMEM || errno == EINVAL || errno == EBADF;
    if (ours && !watch->problem)
        watch->problem = errno;
    return ours;
}

/* The folder part of a path, "." where it has none; NULL for the root. Ends of `/` do not count. */
static const char *folder_of(struct watch *watch, const char *path, const char **name)
{
    size_t end = strlen(path);
    while (end > 1 && path[end - 1] == '/')
        end--;
    size_t start = end;
    while (start && path[start - 1] != '/')
        start--;
    if (start == end)
        return NULL;
    *name = arena_copy_text(watch->arena, path + start, end - start);
    return start ? arena_copy_text(watch->arena, path, start) : ".";
}

/* The name in its folder, or the folder's name in the one above it, and so on up. */
static void watch_name(struct watch *watch, const char *path)
{
    for (int level = 0; level < LEVELS_MAX; level++) {
        const char *name = NULL, *folder = folder_of(watch, path, &name);
        if (!folder || add_interest(watch, folder, name) || strcmp(folder, ".") == 0)
            return;
        path = folder;
    }
}

static bool is_link(const char *path)
{
    struct stat status;
    return lstat(path, &status) == 0 && S_ISLNK(status.st_mode);
}

void watch_file(struct watch *watch, const char *path)
{
    watch_name(watch, path);
    char *real = is_link(path) ? realpath(path, NULL) : NULL;
    if (real)
        watch_name(watch, arena_copy_text(watch->arena, real, strlen(real)));
    free(real);
}

static bool is_lesson_name(const char *name)
{
    size_t length = strlen(name);
    return name[0] != '.' && length > 5 && strcmp(name + length - 5, ".yaml") == 0;
}

struct except {
    bool is_there;
    dev_t device;
    ino_t file;
};

static void watch_level(struct watch *watch, const char *folder, const struct except *except,
                        int level);

static void watch_entry(struct watch *watch, const char *folder, const char *name,
                        const struct except *except, int level)
{
    const char *between = folder[strlen(folder) - 1] == '/' ? "" : "/";
    const char *path = arena_format(watch->arena, "%s%s%s", folder, between, name);
    struct stat status;
    if (lstat(path, &status) != 0)
        return;
    bool left_out =
        except->is_there && status.st_dev == except->device && status.st_ino == except->file;
    if (S_ISDIR(status.st_mode) && !left_out)
        watch_level(watch, path, except, level + 1);
    else if (S_ISLNK(status.st_mode) && is_lesson_name(name))
        watch_file(watch, path);
}

/* The folder first, then what stands in it: what is new in between is told. */
static void watch_level(struct watch *watch, const char *folder, const struct except *except,
                        int level)
{
    if (level > LEVELS_MAX || !add_interest(watch, folder, NULL))
        return;
    DIR *entries = opendir(folder);
    for (struct dirent *entry; entries && (entry = readdir(entries));)
        if (entry->d_name[0] != '.')
            watch_entry(watch, folder, entry->d_name, except, level);
    if (entries)
        closedir(entries);
}

void watch_tree(struct watch *watch, const char *folder, const char *except)
{
    struct stat status;
    struct except left_out = {.is_there = except && stat(except, &status) == 0};
    if (left_out.is_there) {
        left_out.device = status.st_dev;
        left_out.file = status.st_ino;
    }
    watch_name(watch, folder);
    watch_level(watch, folder, &left_out, 0);
}

static bool watch_course(void *closure, const char *path)
{
    watch_file(closure, path);
    return false; /* those above it count, too */
}

void watch_courses(struct watch *watch, const char *lesson)
{
    input_course_places(lesson, watch_course, watch);
}

/* ---- changes ------------------------------------------------------------------------------ */

static bool concerns(const struct watch *watch, const struct inotify_event *event)
{
    if (event->mask & (IN_Q_OVERFLOW | IN_DELETE_SELF | IN_MOVE_SELF | IN_UNMOUNT))
        return true;
    if (event->len == 0)
        return false;
    size_t low = 0, high = watch->interests.count; /* the folder's first */
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (watch->interests.items[middle].folder < event->wd)
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < watch->interests.count && watch->interests.items[low].folder == event->wd; low++) {
        const char *name = watch->interests.items[low].name;
        if (name ? strcmp(name, event->name) == 0
                 : is_lesson_name(event->name) || (event->mask & IN_ISDIR && event->name[0] != '.'))
            return true;
    }
    return false;
}

/* Takes what is told so far; true where any of it concerns us. */
static bool take_events(struct watch *watch)
{
    _Alignas(struct inotify_event) char bytes[16 * 1024];
    bool concerned = false;
    for (ssize_t got; (got = read(watch->descriptor, bytes, sizeof bytes)) > 0;) {
        for (char *at = bytes; at < bytes + got;) {
            const struct inotify_event *event = (const void *)at;
            concerned |= concerns(watch, event);
            at += sizeof *event + event->len;
        }
    }
    return concerned;
}

/* Folders of the round before that this one does not name. */
static void drop_old(struct watch *watch)
{
    size_t now = 0;
    for (size_t i = 0; i < watch->old_count; i++) {
        if (i && watch->old[i] == watch->old[i - 1])
            continue;
        while (now < watch->interests.count && watch->interests.items[now].folder < watch->old[i])
            now++;
        if (now == watch->interests.count || watch->interests.items[now].folder != watch->old[i])
            inotify_rm_watch(watch->descriptor, watch->old[i]);
    }
    watch->old_count = 0;
}

static long milliseconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (long)(now.tv_sec * 1000 + now.tv_nsec / 1000000);
}

/* False when nothing is told within the time; -1 is for ever. */
static bool told_within(const struct watch *watch, int time)
{
    struct pollfd poll_one = {.fd = watch->descriptor, .events = POLLIN};
    int told = poll(&poll_one, 1, time);
    return told > 0 || (told < 0 && errno == EINTR);
}

bool watch_wait(struct watch *watch)
{
    sort_interests(watch);
    drop_old(watch);
    errno = watch->problem;
    if (watch->problem)
        return false;
    do
        told_within(watch, -1);
    while (!take_events(watch));
    long patience = milliseconds() + PATIENCE_MS;
    while (told_within(watch, QUIET_MS) && milliseconds() < patience)
        take_events(watch);
    return true;
}

#endif
