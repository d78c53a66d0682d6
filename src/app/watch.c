#include "app/watch.h"

#include "base/clock.h"
#include "base/path.h"
#include "base/vector.h"
#include "console/input.h"
#include "console/terminal.h"

#include <dirent.h>
#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifndef __linux__

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

enum status watch_run(const struct options *options, watch_name_sources *name_sources,
                      watch_act *act, const void *closure)
{
    (void)name_sources, (void)act, (void)closure;
    say_error("cannot watch '%s': %s", options->operands[0], strerror(ENOSYS));
    return STATUS_SYSTEM;
}

#else

#include <poll.h>
#include <sys/inotify.h>

enum {
    QUIET_MS = 10, /* the steps of one save follow each other faster than this */
    PATIENCE_MS = 50,
    LEVELS_MAX = 128 /* of folders: a deeper tree is a mistake */
};

/* A finished write, a rename, a new name or link, a permission, or the folder itself going away.
   Not writes that are still going on: half a file is no change yet. */
static const uint32_t changes = IN_CLOSE_WRITE | IN_MOVED_TO | IN_MOVED_FROM | IN_CREATE |
                                IN_DELETE | IN_ATTRIB | IN_DELETE_SELF | IN_MOVE_SELF | IN_ONLYDIR;

/* What to watch in a folder. */
struct interest {
    int folder;       /* the system's number of it: the same for all paths to it */
    const char *name; /* of a file in it; NULL: every lesson and folder */
};

struct watch {
    int descriptor;
    int problem;         /* errno of the first refusal in this round */
    struct arena *arena; /* freed each round */
    VECTOR(struct interest) interests;
    int *old; /* folder numbers of the round before, rising; on the heap */
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

void watch_begin(struct watch *watch)
{
    vector_sort(&watch->interests, by_folder);
    watch->old_count = watch->interests.count;
    watch->old = memory_resize(watch->old, (watch->old_count + 1) * sizeof *watch->old);
    for (size_t i = 0; i < watch->old_count; i++)
        watch->old[i] = watch->interests.items[i].folder;
    arena_reset(watch->arena);
    watch->interests.items = NULL;
    watch->interests.count = watch->interests.room = 0;
    watch->problem = 0;
}

/* False if the folder does not exist, is not a folder or may not be read. */
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

/* The folder of a path, "." if it names none; NULL for the root. A `/` at the end does not count.
 */
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

/* Watches for a name in its folder; if that is missing, for the folder in its parent, and so on. */
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
    return name[0] != '.' && input_is_yaml(name);
}

static void watch_level(struct watch *watch, const char *folder, const struct stat *except,
                        int level);

static void watch_entry(struct watch *watch, const char *folder, const char *name,
                        const struct stat *except, int level)
{
    const char *between = folder[strlen(folder) - 1] == '/' ? "" : "/";
    const char *path = arena_format(watch->arena, "%s%s%s", folder, between, name);
    struct stat status;
    if (lstat(path, &status) != 0)
        return;
    bool left_out = except && status.st_dev == except->st_dev && status.st_ino == except->st_ino;
    if (S_ISDIR(status.st_mode) && !left_out)
        watch_level(watch, path, except, level + 1);
    else if (S_ISLNK(status.st_mode) && is_lesson_name(name))
        watch_file(watch, path);
}

/* First the folder, then its entries: a new entry in between is then reported. */
static void watch_level(struct watch *watch, const char *folder, const struct stat *except,
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
    bool is_there = except && stat(except, &status) == 0;
    watch_name(watch, folder);
    watch_level(watch, folder, is_there ? &status : NULL, 0);
}

static bool watch_course(void *closure, const char *path)
{
    watch_file(closure, path);
    return false; /* go on: those further up count, too */
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
    size_t first; /* of the folder */
    lower_bound(first, 0, watch->interests.count, watch->interests.items[first].folder < event->wd);
    for (size_t i = first;
         i < watch->interests.count && watch->interests.items[i].folder == event->wd; i++) {
        const char *name = watch->interests.items[i].name;
        if (name ? strcmp(name, event->name) == 0
                 : is_lesson_name(event->name) || (event->mask & IN_ISDIR && event->name[0] != '.'))
            return true;
    }
    return false;
}

/* Reads the changes so far; true if any of them concerns us. */
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

/* Stops watching folders that this round does not name. */
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

/* False if nothing changes within the time; -1 waits for ever. */
static bool changes_within(const struct watch *watch, int time)
{
    struct pollfd poll_one = {.fd = watch->descriptor, .events = POLLIN};
    int ready = poll(&poll_one, 1, time);
    return ready > 0 || (ready < 0 && errno == EINTR);
}

bool watch_wait(struct watch *watch)
{
    vector_sort(&watch->interests, by_folder);
    drop_old(watch);
    errno = watch->problem;
    if (watch->problem)
        return false;
    do
        changes_within(watch, -1);
    while (!take_events(watch));
    int64_t patience = milliseconds_now() + PATIENCE_MS;
    while (changes_within(watch, QUIET_MS) && milliseconds_now() < patience)
        take_events(watch);
    return true;
}

/* ---- rounds ------------------------------------------------------------------------------- */

enum status watch_run(const struct options *options, watch_name_sources *name_sources,
                      watch_act *act, const void *closure)
{
    struct watch *watch = watch_new();
    for (bool watching = watch; watching; watching = watch_wait(watch)) {
        watch_begin(watch);
        name_sources(watch, options);
        terminal_clear(STDERR_FILENO);
        const char *note = act(options, closure);
        if (!options->quiet)
            say("watching '%s'%s; press Ctrl-C to stop", options->operands[0], note);
    }
    say_error("cannot watch '%s': %s", options->operands[0], strerror(errno));
    watch_free(watch);
    return STATUS_SYSTEM;
}

#endif
