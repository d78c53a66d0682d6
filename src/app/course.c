#include "app/course.h"

#include "base/vector.h"

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
    return !course || (course->context && diags_errors(course->diags) == 0);
}

/* ---- the walk ----------------------------------------------------------------------------- */

struct walk {
    struct course_tree *tree;
    struct arena *arena; /* for what the tree does not keep */
    dev_t except_device;
    ino_t except_file;
    bool has_except;
    VECTOR(struct course_lesson) lessons;
    VECTOR(struct input *) courses;
    VECTOR(struct course_aside) aside;
    VECTOR(struct folder) folders; /* still to be walked */
};

struct folder {
    const char *path, *name; /* name: below the tree's folder, "" or ending in `/` */
    struct input *course;    /* of the folder above */
    int levels;              /* how far above the course file lies */
};

static void set_aside(struct walk *walk, const char *path, int problem)
{
    *vector_push(&walk->aside, walk->tree->arena) =
        (struct course_aside){.path = path, .problem = problem};
    walk->tree->incomplete |= problem != 0;
}

static bool ends_in_yaml(const char *name)
{
    const size_t ending = sizeof LESSON_ENDING - 1, length = strlen(name);
    return length > ending && strcmp(name + length - ending, LESSON_ENDING) == 0;
}

static void add_lesson(struct walk *walk, const struct folder *folder, const char *name,
                       const struct stat *status, int problem)
{
    struct arena *arena = walk->tree->arena;
    struct course_lesson *lesson = vector_push(&walk->lessons, walk->arena);
    size_t folder_length = strlen(folder->name), length = strlen(name);
    lesson->path = arena_format(arena, "%s/%s", folder->path, name);
    lesson->name = lesson->path + strlen(lesson->path) - folder_length - length;
    lesson->stem =
        arena_copy_text(arena, lesson->name, folder_length + length - (sizeof LESSON_ENDING - 1));
    lesson->course = folder->course;
    lesson->problem = problem ? problem : S_ISREG(status->st_mode) ? 0 : EINVAL;
    if (!lesson->problem)
        lesson->stamp = file_stamp(status);
}

static bool is_except(const struct walk *walk, const struct stat *status)
{
    return walk->has_except && status->st_dev == walk->except_device &&
           status->st_ino == walk->except_file;
}

static void add_folder(struct walk *walk, const struct folder *above, const char *name)
{
    struct arena *arena = walk->tree->arena;
    *vector_push(&walk->folders, walk->arena) =
        (struct folder){.path = arena_format(arena, "%s/%s", above->path, name),
                        .name = arena_format(arena, "%s%s/", above->name, name),
                        .course = above->levels < COURSE_LEVELS_MAX ? above->course : NULL,
                        .levels = above->levels + 1};
}

/* A link is followed to a file, not to a folder: so nothing is met twice, or for ever. */
static void add_entry(struct walk *walk, int descriptor, const struct folder *folder,
                      const char *name)
{
    struct stat status;
    int problem = fstatat(descriptor, name, &status, AT_SYMLINK_NOFOLLOW) == 0 ? 0 : errno;
    bool link = !problem && S_ISLNK(status.st_mode);
    if (link && fstatat(descriptor, name, &status, 0) != 0)
        problem = errno;
    if (problem == ENOENT && !link)
        return; /* it went while we were looking */
    if (!problem && S_ISDIR(status.st_mode)) {
        if (link)
            set_aside(walk, arena_format(walk->tree->arena, "%s/%s", folder->path, name), 0);
        else if (!is_except(walk, &status))
            add_folder(walk, folder, name);
    } else if (ends_in_yaml(name)) {
        add_lesson(walk, folder, name, &status, problem);
    }
}

struct names {
    VECTOR(const char *) items;
    struct arena *arena; /* forgotten after each folder */
};

static bool list_names(int descriptor, struct names *names, bool *has_course)
{
    DIR *entries = fdopendir(descriptor);
    if (!entries)
        return false;
    *has_course = false;
    errno = 0;
    for (struct dirent *entry; (entry = readdir(entries));) {
        if (strcmp(entry->d_name, COURSE_NAME) == 0)
            *has_course = true;
        else if (entry->d_name[0] != '.')
            *vector_push(&names->items, names->arena) =
                arena_copy_text(names->arena, entry->d_name, strlen(entry->d_name));
    }
    int problem = errno;
    closedir(entries);
    errno = problem;
    return problem == 0;
}

static void take_course(struct walk *walk, struct folder *folder, bool has_course)
{
    if (has_course) {
        folder->course = input_course(
            walk->tree->inputs, arena_format(walk->tree->arena, "%s/" COURSE_NAME, folder->path));
        folder->levels = 0;
    }
    bool known = !folder->course;
    for (size_t i = 0; !known && i < walk->courses.count; i++)
        known = walk->courses.items[i] == folder->course;
    if (!known)
        *vector_push(&walk->courses, walk->tree->arena) = folder->course;
}

/* One folder: its names are read before any of them is looked at, so that few files are open. */
static bool walk_folder(struct walk *walk, struct folder *folder, struct arena *scratch)
{
    int descriptor = open(folder->path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    /* names that may be listed, but not looked at, are none that we know */
    bool open_to_us = descriptor >= 0 && faccessat(descriptor, ".", F_OK, 0) == 0;
    int again = open_to_us ? dup(descriptor) : -1;
    struct names names = {.arena = scratch};
    bool has_course;
    if (again < 0 || !list_names(again, &names, &has_course)) {
        int problem = errno;
        if (descriptor >= 0)
            close(descriptor);
        errno = problem;
        return false;
    }
    take_course(walk, folder, has_course);
    for (size_t i = 0; i < names.items.count; i++)
        add_entry(walk, descriptor, folder, names.items.items[i]);
    close(descriptor);
    arena_reset(scratch);
    return true;
}

static bool walk_tree(struct walk *walk)
{
    struct course_tree *tree = walk->tree;
    struct arena *scratch = arena_new();
    struct folder top = {.path = tree->path, .name = ""};
    top.course =
        input_course_above(tree->inputs, arena_format(tree->arena, "%s/", tree->path), &top.levels);
    bool good = walk_folder(walk, &top, scratch);
    int problem = errno;
    tree->course = top.course;
    while (good && walk->folders.count) {
        struct folder folder = walk->folders.items[--walk->folders.count];
        if (!walk_folder(walk, &folder, scratch) && errno != ENOENT)
            set_aside(walk, folder.path, errno);
    }
    arena_free(scratch);
    errno = problem;
    return good;
}

/* ---- the order ---------------------------------------------------------------------------- */

static int lessons_by_path(const void *a, const void *b)
{
    return strcmp(((const struct course_lesson *)a)->path, ((const struct course_lesson *)b)->path);
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

/* Lessons by their paths, and the same in the course's order as far as it is made. */
struct ordering {
    struct course_tree *tree;
    const char *top; /* the tree's folder, ending in `/` */
    struct course_lesson *sorted, *ordered;
    bool *taken; /* by number in `sorted` */
    size_t count, done;
};

/* The first lesson whose path is not before this one. */
static size_t first_from(const struct ordering *ordering, const char *path)
{
    size_t low = 0, high = ordering->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(ordering->sorted[middle].path, path) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool is_below(const char *path, const char *folder)
{
    return strncmp(path, folder, strlen(folder)) == 0;
}

static void take(struct ordering *ordering, size_t number)
{
    if (ordering->taken[number])
        return;
    ordering->taken[number] = true;
    ordering->ordered[ordering->done++] = ordering->sorted[number];
}

static void take_course_of(struct ordering *ordering, const struct input *course);

/* What is left of a folder (its path ends in `/`), the courses in it as a whole. */
static void take_folder(struct ordering *ordering, const char *folder, const struct input *course)
{
    for (size_t i = first_from(ordering, folder);
         i < ordering->count && is_below(ordering->sorted[i].path, folder); i++) {
        const struct input *own = ordering->sorted[i].course;
        if (!ordering->taken[i] && own && own != course)
            take_course_of(ordering, own);
        take(ordering, i);
    }
}

/* A path without `./`, and without the `/` that stand twice or at its end. */
static const char *tidy(struct arena *arena, const char *folder, const char *text)
{
    struct buffer out = {0};
    buffer_add_text(&out, folder);
    for (const char *part = text; *part;) {
        size_t length = strcspn(part, "/");
        if (length && !(length == 1 && *part == '.')) {
            buffer_add(&out, part, length);
            buffer_add_text(&out, "/");
        }
        part += length + (part[length] == '/');
    }
    size_t length = out.length ? out.length - 1 : 0;
    const char *path = arena_copy_text(arena, buffer_text(&out), length);
    buffer_release(&out);
    return path;
}

static void report_twice(struct ordering *ordering, const struct words *entry, struct place first)
{
    struct diags *diags = ordering->tree->order_diags;
    diag_add(diags, DIAG_DUPLICATE_KEY, entry->at, "'%s' stands in the order twice", entry->text);
    diag_other(diags, first, "first listed here");
}

/* A path's lesson, or the lessons of the folder that it is: from `*first` on, so many. */
static size_t find_entry(const struct ordering *ordering, const char *path, size_t *first)
{
    *first = first_from(ordering, path);
    if (*first < ordering->count && strcmp(ordering->sorted[*first].path, path) == 0)
        return 1;
    const char *inside = arena_format(ordering->tree->arena, "%s/", path);
    size_t end = *first = first_from(ordering, inside);
    while (end < ordering->count && is_below(ordering->sorted[end].path, inside))
        end++;
    return end - *first;
}

static void take_entry(struct ordering *ordering, const char *folder, const struct words *entry,
                       const struct input *course)
{
    struct course_tree *tree = ordering->tree;
    const char *path = tidy(tree->arena, folder, entry->text);
    size_t number, count = find_entry(ordering, path, &number);
    struct course_lesson *lesson = &ordering->sorted[number];
    if (count == 0 && is_below(path, ordering->top)) {
        diag_add(tree->order_diags, DIAG_UNREADABLE, entry->at, "the course has no lesson '%s'",
                 entry->text);
    } else if (count == 1 && lesson->ordered_at.file) {
        report_twice(ordering, entry, lesson->ordered_at);
    } else if (count) {
        lesson->ordered_at = entry->at;
        if (strcmp(lesson->path, path) == 0)
            take(ordering, number);
        else
            take_folder(ordering, arena_format(tree->arena, "%s/", path), course);
    }
}

/* The path of a course file's folder, ending in `/`; "" where there is none. */
static const char *folder_of(struct arena *arena, const struct input *course)
{
    const char *name = course ? course->source.name : "";
    const char *slash = strrchr(name, '/');
    return arena_copy_text(arena, name, slash ? (size_t)(slash - name) + 1 : 0);
}

static void leave_out(struct ordering *ordering, const struct input *course)
{
    const struct course *keys = course->context ? course_of(course->context) : NULL;
    const char *folder = folder_of(ordering->tree->arena, course);
    for (size_t i = 0; keys && i < keys->leave_out_count; i++) {
        size_t first, count;
        const char *path = tidy(ordering->tree->arena, folder, keys->leave_out[i].text);
        count = find_entry(ordering, path, &first);
        for (size_t j = first; j < first + count; j++)
            ordering->taken[j] = true;
    }
}

static void take_course_of(struct ordering *ordering, const struct input *course)
{
    const char *folder = folder_of(ordering->tree->arena, course);
    const struct course *keys = course && course->context ? course_of(course->context) : NULL;
    for (size_t i = 0; keys && i < keys->order_count; i++)
        take_entry(ordering, folder, &keys->order[i], course);
    /* the course of the whole tree may lie above it */
    take_folder(ordering, is_below(folder, ordering->top) ? folder : ordering->top, course);
}

static void put_in_order(struct course_tree *tree, struct walk *walk)
{
    struct ordering ordering = {.tree = tree,
                                .top = arena_format(tree->arena, "%s/", tree->path),
                                .sorted = walk->lessons.items,
                                .count = walk->lessons.count};
    if (ordering.count == 0)
        return;
    qsort(ordering.sorted, ordering.count, sizeof *ordering.sorted, lessons_by_path);
    ordering.ordered = arena_array(tree->arena, ordering.count, sizeof *ordering.ordered);
    ordering.taken = arena_array(walk->arena, ordering.count, sizeof *ordering.taken);
    for (size_t i = 0; i < walk->courses.count; i++)
        leave_out(&ordering, walk->courses.items[i]);
    take_course_of(&ordering, tree->course);
    tree->lessons = ordering.ordered;
    tree->count = ordering.done;
    diags_sort(tree->order_diags);
}

/* ---- opening and closing ------------------------------------------------------------------ */

static const char *without_slashes(struct arena *arena, const char *path)
{
    size_t length = strlen(path);
    while (length > 1 && path[length - 1] == '/')
        length--;
    return arena_copy_text(arena, path, length);
}

/* What was found, in its order. */
static void keep_walk(struct course_tree *tree, struct walk *walk)
{
    put_in_order(tree, walk);
    if (walk->courses.count)
        qsort(walk->courses.items, walk->courses.count, sizeof *walk->courses.items,
              courses_by_path);
    if (walk->aside.count)
        qsort(walk->aside.items, walk->aside.count, sizeof *walk->aside.items, aside_by_path);
    tree->courses = walk->courses.items;
    tree->course_count = walk->courses.count;
    tree->aside = walk->aside.items;
    tree->aside_count = walk->aside.count;
}

bool course_tree_open(struct course_tree *tree, const char *path, const char *except)
{
    struct arena *arena = arena_new();
    *tree = (struct course_tree){.arena = arena,
                                 .inputs = inputs_new(),
                                 .path = without_slashes(arena, path),
                                 .order_diags = diags_new(arena)};
    struct walk walk = {.tree = tree, .arena = arena_new()};
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
    arena_free(walk.arena);
    errno = problem;
    return listed;
}

void course_tree_close(struct course_tree *tree)
{
    inputs_free(tree->inputs);
    arena_free(tree->arena);
    *tree = (struct course_tree){0};
}
