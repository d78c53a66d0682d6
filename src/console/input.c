#include "console/input.h"

#include "base/file.h"
#include "base/path.h"
#include "base/vector.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct inputs {
    struct input *courses;
    const char *standard; /* the name of standard input; NULL: none was given */
};

struct inputs *inputs_new(void)
{
    struct inputs *inputs = memory_alloc(sizeof *inputs);
    *inputs = (struct inputs){0};
    return inputs;
}

void inputs_name_standard(struct inputs *inputs, const char *name)
{
    inputs->standard = name;
}

void inputs_free(struct inputs *inputs)
{
    while (inputs->courses) {
        struct input *course = inputs->courses;
        inputs->courses = course->next;
        input_close(course);
    }
    memory_free(inputs);
}

/* ---- reading ------------------------------------------------------------------------------ */

/* Adds the finding that says why the file could not be read. */
static void refuse(struct input *input, int problem)
{
    struct place at = {.file = input->source.name};
    if (problem == EFBIG) {
        diag_add(input->diags, DIAG_LIMIT, at, "the file is larger than %d MiB",
                 LESSON_BYTES_MAX / (1024 * 1024));
        input->status = STATUS_LESSON;
        return;
    }
    diag_add(input->diags, DIAG_UNREADABLE, at, "cannot be read: %s",
             problem == EINVAL ? "it is not a plain file" : strerror(problem));
    input->status = STATUS_SYSTEM;
}

static struct input *new_input(const char *path)
{
    struct arena *arena = arena_new();
    struct input *input = memory_alloc(sizeof *input);
    *input = (struct input){.arena = arena, .diags = diags_new(arena)};
    const char *name = strcmp(path, "-") == 0 ? "<stdin>" : path;
    input->source.name = arena_copy_text(arena, name, strlen(name));
    return input;
}

/* Takes over the bytes that were read, or says why they were not. */
static void take_bytes(struct input *input, bool was_read, struct buffer *bytes)
{
    if (was_read) {
        buffer_add(bytes, "", 0);
        input->source.bytes = bytes->bytes;
        input->source.length = bytes->length;
    } else {
        refuse(input, errno);
        buffer_release(bytes);
    }
}

/* Standard input under the name that it was given, or under its own. */
static struct input *read_standard(const struct inputs *inputs)
{
    struct input *input = new_input(inputs->standard ? inputs->standard : "-");
    struct buffer bytes = {0};
    take_bytes(input, file_read("-", LESSON_BYTES_MAX, &bytes), &bytes);
    return input;
}

struct input *input_read_plain(const char *path)
{
    struct input *input = new_input(path);
    struct buffer bytes = {0};
    take_bytes(input, file_read_plain(path, LESSON_BYTES_MAX, &bytes, &input->stamp), &bytes);
    return input;
}

void input_close(struct input *input)
{
    memory_free((char *)(uintptr_t)input->source.bytes);
    arena_free(input->arena);
    memory_free(input);
}

/* ---- course files ------------------------------------------------------------------------- */

bool input_is_yaml(const char *path)
{
    const char *ending = path_ending(path);
    return strcmp(ending, LESSON_ENDING) == 0 || strcmp(ending, LESSON_SHORT_ENDING) == 0;
}

bool is_course_file(const char *path)
{
    return strcmp(path_name(path), COURSE_NAME) == 0;
}

static struct input *course_above(struct inputs *inputs, const char *path);

struct input *input_course(struct inputs *inputs, const char *path)
{
    for (struct input *known = inputs->courses; known; known = known->next) {
        if (strcmp(known->source.name, path) == 0)
            return known;
    }
    bool standard = inputs->standard && strcmp(path, inputs->standard) == 0;
    struct input *course = standard ? read_standard(inputs) : input_read_plain(path);
    course->course = course_above(inputs, path);
    if (course->source.bytes) {
        const struct course_context *above = course->course ? course->course->context : NULL;
        course->context = read_course(course->arena, course->source, above, course->diags);
        diags_sort(course->diags);
    }
    course->next = inputs->courses;
    inputs->courses = course;
    return course;
}

const struct course *input_course_keys(const struct input *course)
{
    static const struct course nothing;
    return course && course->context ? course_of(course->context) : &nothing;
}

static bool ends_in_dots(const char *folder, size_t length)
{
    return length >= 2 && memcmp(folder + length - 2, "..", 2) == 0 &&
           (length == 2 || folder[length - 3] == '/');
}

/* Turns a folder's path ("" for the current one, otherwise ending in `/`) into its parent's, by the
   text alone. False at the root. */
static bool go_up(struct buffer *folder)
{
    size_t length = folder->length;
    if (length && strcmp(folder->bytes, "/") == 0)
        return false;
    while (length && folder->bytes[length - 1] == '/')
        length--;
    if (length == 0 || ends_in_dots(folder->bytes, length) ||
        (length == 1 && folder->bytes[0] == '.')) {
        buffer_add_text(folder, "../");
        return true;
    }
    while (length && folder->bytes[length - 1] != '/')
        length--;
    folder->length = length;
    folder->bytes[length] = '\0';
    return true;
}

void input_course_places(const char *lesson, input_take *take, void *closure)
{
    struct buffer folder = {0}, name = {0};
    buffer_add(&folder, lesson, path_folder_length(lesson));
    for (int level = 0; level <= COURSE_LEVELS_MAX; level++) {
        buffer_release(&name);
        buffer_format(&name, "%s" COURSE_NAME, buffer_text(&folder));
        if (take(closure, buffer_text(&name)) || !go_up(&folder))
            break;
    }
    buffer_release(&name);
    buffer_release(&folder);
}

struct course_search {
    struct inputs *inputs;
    const struct stat *below; /* the course file whose parent is searched; NULL: none */
    struct input *found;
    int levels;
};

/* A course file is not above itself, although the search may meet it again: above the root is the
   root, and a link may lead back. */
static bool is_itself(const struct course_search *search, const struct stat *status)
{
    return search->below && status->st_dev == search->below->st_dev &&
           status->st_ino == search->below->st_ino;
}

/* An unreadable course file must be reported, or its lessons would silently lose its settings.
 * Folders further up may be closed to us: that is not an error. */
static bool is_absent(int problem)
{
    return problem == ENOENT || problem == ENOTDIR || problem == EACCES || problem == ENAMETOOLONG;
}

static bool take_course(void *closure, const char *path)
{
    struct course_search *search = closure;
    struct stat status;
    if (stat(path, &status) == 0 ? !is_itself(search, &status) : !is_absent(errno))
        search->found = input_course(search->inputs, path);
    else
        search->levels++;
    return search->found;
}

/* The course file that this one inherits from. */
static struct input *course_above(struct inputs *inputs, const char *path)
{
    struct stat own;
    struct course_search search = {.inputs = inputs};
    struct buffer folder = {0};
    buffer_add(&folder, path, path_folder_length(path));
    if (stat(path, &own) == 0)
        search.below = &own;
    if (search.below && go_up(&folder))
        input_course_places(buffer_text(&folder), take_course, &search);
    buffer_release(&folder);
    return search.found;
}

struct input *input_course_above(struct inputs *inputs, const char *lesson, int *levels)
{
    struct course_search search = {.inputs = inputs};
    input_course_places(lesson, take_course, &search);
    *levels = search.levels;
    return search.found;
}

struct input *input_open(struct inputs *inputs, const char *path)
{
    int levels;
    if (strcmp(path, "-") == 0) {
        struct input *standard = read_standard(inputs);
        standard->course =
            input_course_above(inputs, inputs->standard ? inputs->standard : path, &levels);
        return standard;
    }
    struct input *lesson = new_input(path);
    struct buffer bytes = {0};
    take_bytes(lesson, file_read(path, LESSON_BYTES_MAX, &bytes), &bytes);
    lesson->course = input_course_above(inputs, path, &levels);
    return lesson;
}

struct input *input_open_found(struct inputs *inputs, const char *path)
{
    int levels;
    struct input *lesson = input_read_plain(path);
    lesson->course = input_course_above(inputs, path, &levels);
    return lesson;
}

/* ---- folders ------------------------------------------------------------------------------ */

struct listing {
    struct arena *arena;
    VECTOR(const char *) paths;
};

static bool list_folder(const char *folder, struct listing *listing);

static bool list_entry(const char *path, struct listing *listing)
{
    struct stat status;
    if (lstat(path, &status) != 0)
        return errno == ENOENT;
    if (S_ISDIR(status.st_mode))
        return list_folder(path, listing);
    if (input_is_yaml(path))
        *vector_push(&listing->paths, listing->arena) = path;
    return true;
}

static bool list_folder(const char *folder, struct listing *listing)
{
    DIR *entries = opendir(folder);
    if (!entries)
        return false;
    const char *between = folder[strlen(folder) - 1] == '/' ? "" : "/";
    bool good = true;
    for (struct dirent *entry; good && (entry = readdir(entries));) {
        if (entry->d_name[0] == '.')
            continue;
        good = list_entry(arena_format(listing->arena, "%s%s%s", folder, between, entry->d_name),
                          listing);
    }
    int problem = errno;
    closedir(entries);
    errno = problem;
    return good;
}

static int by_bytes(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

bool input_list(const char *folder, struct arena *arena, const char *const **paths, size_t *count)
{
    struct listing listing = {.arena = arena};
    if (!list_folder(folder, &listing))
        return false;
    vector_sort(&listing.paths, by_bytes);
    *paths = listing.paths.items;
    *count = listing.paths.count;
    return true;
}
