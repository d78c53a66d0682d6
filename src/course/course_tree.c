#include "course/course_tree.h"

#include "base/vector.h"
#include "course/course_order.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define COURSE_NAME "course.yaml"
#define LESSON_ENDING ".yaml"

bool course_usable(const struct input *course)
{
    while (course && course->context && diags_errors(course->diags) == 0)
        course = course->course;
    return !course;
}

const char *course_tree_path(const struct course_tree *tree, const char *name, struct buffer *room)
{
    room->length = 0;
    buffer_add_text(room, tree->path);
    buffer_add(room, "/", 1);
    buffer_add_text(room, name);
    return room->bytes;
}

size_t course_lesson_stem(const struct course_lesson *lesson)
{
    return strlen(lesson->name) - (sizeof LESSON_ENDING - 1);
}

/* ---- the walk ----------------------------------------------------------------------------- */

struct walk {
    struct course_tree *tree;
    struct buffer path; /* of what is opened now */
    dev_t except_device;
    ino_t except_file;
    bool has_except;
    size_t room; /* of the tree's lessons */
    VECTOR(struct input *) courses;
    VECTOR(struct course_aside) aside;
};

struct folder {
    const char *name;     /* below the tree's folder, "" or ending in `/` */
    struct input *course; /* of the folder above */
    int levels;           /* how far above the course file lies */
};

/* A lesson or a folder in the folder that is walked. */
struct found {
    const char *name; /* of a folder with `/` at its end: so it sorts where its lessons do */
    size_t length;
    struct file_stamp stamp;
    int problem;
    bool is_folder;
};

struct listing {
    struct arena *arena;
    VECTOR(const char *) names;
    VECTOR(struct found) found;
    size_t text_length; /* of the names of all lessons */
    bool has_course;
};

static void set_aside(struct walk *walk, const char *folder, const char *name, int problem)
{
    course_tree_path(walk->tree, folder, &walk->path);
    buffer_add_text(&walk->path, name);
    size_t length = walk->path.length;
    while (walk->path.bytes[length - 1] == '/')
        length--;
    *vector_push(&walk->aside, walk->tree->arena) = (struct course_aside){
        .path = arena_copy_text(walk->tree->arena, walk->path.bytes, length), .problem = problem};
    walk->tree->incomplete |= problem != 0;
}

static bool ends_in_yaml(const char *name, size_t length)
{
    const size_t ending = sizeof LESSON_ENDING - 1;
    return length > ending && memcmp(name + length - ending, LESSON_ENDING, ending) == 0;
}

static bool is_except(const struct walk *walk, const struct stat *status)
{
    return walk->has_except && status->st_dev == walk->except_device &&
           status->st_ino == walk->except_file;
}

static void find_lesson(struct listing *listing, const char *name, size_t length,
                        const struct stat *status, int problem)
{
    struct found *found = vector_push(&listing->found, listing->arena);
    *found = (struct found){.name = name, .length = length, .problem = problem};
    if (!problem && !S_ISREG(status->st_mode))
        found->problem = EINVAL;
    if (!found->problem)
        found->stamp = file_stamp(status);
    listing->text_length += length + 1;
}

static void find_folder(struct listing *listing, const char *name, size_t length)
{
    char *text = arena_room(listing->arena, length + 2);
    memcpy(text, name, length);
    memcpy(text + length, "/", 2);
    *vector_push(&listing->found, listing->arena) =
        (struct found){.name = text, .length = length + 1, .is_folder = true};
}

/* A link is followed to a file, not to a folder: so nothing is met twice, or for ever. */
static void look_at(struct walk *walk, int descriptor, const struct folder *folder,
                    const char *name, struct listing *listing)
{
    struct stat status;
    const size_t length = strlen(name);
    int problem = fstatat(descriptor, name, &status, AT_SYMLINK_NOFOLLOW) == 0 ? 0 : errno;
    bool link = !problem && S_ISLNK(status.st_mode);
    if (link && fstatat(descriptor, name, &status, 0) != 0)
        problem = errno;
    if (problem == ENOENT && !link)
        return; /* it went while we were looking */
    if (!problem && S_ISDIR(status.st_mode)) {
        if (link)
            set_aside(walk, folder->name, name, 0);
        else if (!is_except(walk, &status))
            find_folder(listing, name, length);
    } else if (ends_in_yaml(name, length)) {
        find_lesson(listing, name, length, &status, problem);
    }
}

static bool list_names(DIR *entries, struct listing *listing)
{
    errno = 0;
    for (struct dirent *entry; (entry = readdir(entries));) {
        if (strcmp(entry->d_name, COURSE_NAME) == 0)
            listing->has_course = true;
        else if (entry->d_name[0] != '.')
            *vector_push(&listing->names, listing->arena) =
                arena_copy_text(listing->arena, entry->d_name, strlen(entry->d_name));
    }
    return errno == 0;
}

static int found_by_name(const void *a, const void *b)
{
    return strcmp(((const struct found *)a)->name, ((const struct found *)b)->name);
}

/* What is in one folder, in the order of its names. Those are read before any of them is looked at,
   and the folder is closed before others are opened: so few files are open. */
static bool list_folder(struct walk *walk, const struct folder *folder, struct listing *listing)
{
    int descriptor = open(course_tree_path(walk->tree, folder->name, &walk->path),
                          O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    /* names that may be listed, but not looked at, are none that we know */
    bool open_to_us = descriptor >= 0 && faccessat(descriptor, ".", F_OK, 0) == 0;
    DIR *entries = open_to_us ? fdopendir(descriptor) : NULL;
    bool good = entries && list_names(entries, listing);
    int problem = errno;
    for (size_t i = 0; good && i < listing->names.count; i++)
        look_at(walk, descriptor, folder, listing->names.items[i], listing);
    if (entries)
        closedir(entries);
    else if (descriptor >= 0)
        close(descriptor);
    if (listing->found.count)
        qsort(listing->found.items, listing->found.count, sizeof *listing->found.items,
              found_by_name);
    errno = problem;
    return good;
}

/* Each course file is met once; that of the tree's folder may lie above it. */
static void take_course(struct walk *walk, struct folder *folder, bool has_course)
{
    if (has_course) {
        course_tree_path(walk->tree, folder->name, &walk->path);
        buffer_add_text(&walk->path, COURSE_NAME);
        folder->course = input_course(walk->tree->inputs, walk->path.bytes);
        folder->levels = 0;
    }
    if (folder->course && (has_course || !*folder->name))
        *vector_push(&walk->courses, walk->tree->arena) = folder->course;
    for (struct input *above = folder->course; above && !*folder->name; above = above->course)
        if (above != folder->course)
            *vector_push(&walk->courses, walk->tree->arena) = above;
}

/* On the heap: an arena would keep the smaller rooms. `*text` moves behind the name. */
static void add_lesson(struct walk *walk, const struct folder *folder, const struct found *found,
                       char **text)
{
    struct course_tree *tree = walk->tree;
    const size_t above = strlen(folder->name);
    if (tree->count == walk->room) {
        walk->room += walk->room / 2 + 1000;
        tree->lessons = memory_resize(tree->lessons, walk->room * sizeof *tree->lessons);
    }
    tree->lessons[tree->count++] = (struct course_lesson){
        .name = *text, .course = folder->course, .stamp = found->stamp, .problem = found->problem};
    memcpy(*text, folder->name, above);
    memcpy(*text + above, found->name, found->length + 1);
    *text += above + found->length + 1;
}

static bool walk_folder(struct walk *walk, struct folder *folder);

static void walk_below(struct walk *walk, const struct folder *above, const char *name,
                       struct arena *arena)
{
    struct folder folder = {.name = arena_format(arena, "%s%s", above->name, name),
                            .course = above->levels < COURSE_LEVELS_MAX ? above->course : NULL,
                            .levels = above->levels + 1};
    if (!walk_folder(walk, &folder) && errno != ENOENT)
        set_aside(walk, folder.name, "", errno);
}

/* Lessons come in the order of their paths: a folder's are taken where its name is met. */
static bool walk_folder(struct walk *walk, struct folder *folder)
{
    struct listing listing = {.arena = arena_new()};
    bool good = list_folder(walk, folder, &listing);
    int problem = errno;
    if (good) {
        take_course(walk, folder, listing.has_course);
        const size_t lessons = listing.found.count;
        char *text =
            arena_room(walk->tree->arena, listing.text_length + lessons * strlen(folder->name));
        for (size_t i = 0; i < listing.found.count; i++) {
            const struct found *found = &listing.found.items[i];
            if (found->is_folder)
                walk_below(walk, folder, found->name, listing.arena);
            else
                add_lesson(walk, folder, found, &text);
        }
    }
    arena_free(listing.arena);
    errno = problem;
    return good;
}

static bool walk_tree(struct walk *walk)
{
    struct course_tree *tree = walk->tree;
    struct folder top = {.name = ""};
    top.course =
        input_course_above(tree->inputs, course_tree_path(tree, "", &walk->path), &top.levels);
    bool good = walk_folder(walk, &top);
    tree->course = top.course;
    return good;
}

/* ---- opening and closing ------------------------------------------------------------------ */

static const char *without_slashes(struct arena *arena, const char *path)
{
    size_t length = strlen(path);
    while (length > 1 && path[length - 1] == '/')
        length--;
    return arena_copy_text(arena, path, length);
}

static int courses_by_path(const void *a, const void *b)
{
    return strcmp((*(struct input *const *)a)->source.name,
                  (*(struct input *const *)b)->source.name);
}

static int aside_by_path(const void *a, const void *b)
{
    return strcmp(((const struct course_aside *)a)->path, ((const struct course_aside *)b)->path);
}

/* What was found, in its order. */
static void keep_walk(struct course_tree *tree, struct walk *walk)
{
    if (walk->courses.count)
        qsort(walk->courses.items, walk->courses.count, sizeof *walk->courses.items,
              courses_by_path);
    if (walk->aside.count)
        qsort(walk->aside.items, walk->aside.count, sizeof *walk->aside.items, aside_by_path);
    tree->courses = walk->courses.items;
    tree->course_count = walk->courses.count;
    tree->aside = walk->aside.items;
    tree->aside_count = walk->aside.count;
    course_tree_order(tree);
}

bool course_tree_open(struct course_tree *tree, const char *path, const char *except)
{
    struct arena *arena = arena_new();
    *tree = (struct course_tree){.arena = arena,
                                 .inputs = inputs_new(),
                                 .path = without_slashes(arena, path),
                                 .order_diags = diags_new(arena)};
    struct walk walk = {.tree = tree};
    struct stat status, own;
    if (except && stat(except, &status) == 0 && stat(path, &own) == 0 &&
        (status.st_dev != own.st_dev || status.st_ino != own.st_ino)) {
        walk.has_except = true;
        walk.except_device = status.st_dev;
        walk.except_file = status.st_ino;
    }
    bool listed = walk_tree(&walk);
    int problem = errno;
    if (listed)
        keep_walk(tree, &walk);
    buffer_release(&walk.path);
    errno = problem;
    return listed;
}

void course_tree_close(struct course_tree *tree)
{
    inputs_free(tree->inputs);
    memory_free(tree->lessons);
    arena_free(tree->arena);
    *tree = (struct course_tree){0};
}

/* ---- its name ----------------------------------------------------------------------------- */

static const char *last_part(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash && slash[1] ? slash + 1 : path;
}

const char *course_tree_title(const struct course_tree *tree)
{
    const struct course *keys =
        tree->course && tree->course->context ? course_of(tree->course->context) : NULL;
    if (keys && keys->title.text)
        return keys->title.text;
    const char *name = last_part(tree->path);
    if (strcmp(name, ".") != 0 && strcmp(name, "..") != 0)
        return name;
    char *real = realpath(tree->path, NULL);
    if (real)
        name = arena_copy_text(tree->arena, last_part(real), strlen(last_part(real)));
    free(real);
    return name;
}
