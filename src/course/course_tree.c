#include "course/course_tree.h"

#include "base/path.h"
#include "base/vector.h"
#include "course/course_order.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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
    return strlen(lesson->name) - strlen(path_ending(lesson->name));
}

const char *course_lesson_word(const struct course_lesson *lesson, struct arena *arena)
{
    size_t folder = path_folder_length(lesson->name);
    return arena_copy_text(arena, lesson->name + folder, course_lesson_stem(lesson) - folder);
}

/* ---- the walk ----------------------------------------------------------------------------- */

struct walk {
    struct course_tree *tree;
    struct buffer path;                   /* what is being opened */
    const struct stat *except;            /* the folder that is left out; NULL: none */
    VECTOR(struct course_lesson) lessons; /* on the heap: there may be a million */
    VECTOR(struct input *) courses;
    VECTOR(struct course_aside) aside;
};

struct folder {
    const char *name;     /* below the tree's folder, "" or ending in `/` */
    struct input *course; /* its course file, or the one that its parent has */
    int levels;           /* how many folders further up that file is */
};

/* A lesson or a folder inside the current folder. */
struct found {
    const char *name; /* a folder's ends in `/`, so it sorts where its lessons do */
    size_t length;
    struct file_stamp stamp;
    int problem;
    bool is_folder;
};

struct listing {
    struct arena *arena;
    VECTOR(const char *) names;
    VECTOR(struct found) found;
    size_t text_length; /* of all lessons' names together */
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

static bool is_except(const struct walk *walk, const struct stat *status)
{
    return walk->except && status->st_dev == walk->except->st_dev &&
           status->st_ino == walk->except->st_ino;
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

/* Links to files are followed, links to folders are not: no folder is visited twice or endlessly.
 */
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
        return; /* it was deleted in the meantime */
    if (!problem && S_ISDIR(status.st_mode)) {
        if (link)
            set_aside(walk, folder->name, name, 0);
        else if (!is_except(walk, &status))
            find_folder(listing, name, length);
    } else if (input_is_yaml(name)) {
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

/* Lists one folder, sorted by name. Reads all names first, and closes the folder before another one
   is opened, so that few files are open at a time. */
static bool list_folder(struct walk *walk, const struct folder *folder, struct listing *listing)
{
    int descriptor = open(course_tree_path(walk->tree, folder->name, &walk->path),
                          O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    /* a folder may allow listing names but not opening them: then it counts as unreadable */
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
    vector_sort(&listing->found, found_by_name);
    errno = problem;
    return good;
}

/* Adds each course file once; the course file of the tree's own folder may be above it. */
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

/* Writes the name at `*text`, which then moves past it. */
static void add_lesson(struct walk *walk, const struct folder *folder, const struct found *found,
                       char **text)
{
    const size_t above = strlen(folder->name);
    *vector_push(&walk->lessons, NULL) = (struct course_lesson){
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

/* Lessons come in the order of their paths: a folder's lessons are added where its name sorts. */
static bool walk_folder(struct walk *walk, struct folder *folder)
{
    struct listing listing = {.arena = arena_new()};
    bool good = list_folder(walk, folder, &listing);
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

/* Keeps what was found, sorted. */
static void keep_walk(struct course_tree *tree, struct walk *walk)
{
    vector_sort(&walk->courses, courses_by_path);
    vector_sort(&walk->aside, aside_by_path);
    tree->courses = walk->courses.items;
    tree->course_count = walk->courses.count;
    tree->aside = walk->aside.items;
    tree->aside_count = walk->aside.count;
    course_tree_order(tree);
}

bool course_tree_open(struct course_tree *tree, const char *path, const char *except,
                      struct inputs *inputs)
{
    struct arena *arena = arena_new();
    *tree = (struct course_tree){.arena = arena,
                                 .inputs = inputs ? inputs : inputs_new(),
                                 .owns_inputs = !inputs,
                                 .path = without_slashes(arena, path)};
    struct walk walk = {.tree = tree};
    struct stat status;
    if (except && stat(except, &status) == 0 && !path_same_file(except, path))
        walk.except = &status;
    bool listed = walk_tree(&walk);
    tree->lessons = walk.lessons.items;
    tree->count = walk.lessons.count;
    if (listed)
        keep_walk(tree, &walk);
    buffer_release(&walk.path);
    return listed;
}

void course_tree_close(struct course_tree *tree)
{
    if (tree->owns_inputs)
        inputs_free(tree->inputs);
    memory_free(tree->lessons);
    arena_free(tree->arena);
    *tree = (struct course_tree){0};
}

/* ---- its name ----------------------------------------------------------------------------- */

const char *course_tree_title(const struct course_tree *tree)
{
    const char *title = input_course_keys(tree->course)->title.text;
    if (title)
        return title;
    const char *name = *path_name(tree->path) ? path_name(tree->path) : tree->path;
    if (strcmp(name, ".") != 0 && strcmp(name, "..") != 0)
        return name;
    char *real = realpath(tree->path, NULL);
    if (real)
        name = arena_copy_text(tree->arena, path_name(real), strlen(path_name(real)));
    free(real);
    return name;
}
