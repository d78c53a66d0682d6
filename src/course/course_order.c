#include "course/course_order.h"

#include "base/path.h"
#include "base/vector.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

/*
 * How the order is found:
 *
 * 1. The tree's lessons come sorted by name.
 * 2. leave_out() marks as taken what any course file leaves out.
 * 3. take_course_of() takes the lessons of a course: first the entries of its `order`, each of them
 * a lesson or all lessons of a folder, then the rest of its folder by name.
 * 4. If a lesson there has a course file of its own, take_course_of() first takes that whole
 * course, so its lessons stay together.
 * 5. The lessons in the order in which they were taken replace those of the tree.
 */

/* The lessons sorted by name, and those that already have their place in the course's order. */
struct ordering {
    struct course_tree *tree;
    struct arena *arena;
    const char *top; /* the tree's folder, ending in `/` */
    const struct course_lesson *sorted;
    size_t count;
    /* by number in `sorted` */
    bool *taken;
    struct place *listed_at; /* where a course file lists it; file NULL: nowhere */
    size_t *ordered, done;   /* numbers in `sorted` */
};

/* The first lesson whose name is not before `name`. */
static size_t first_from(const struct ordering *ordering, const char *name)
{
    size_t at;
    lower_bound(at, 0, ordering->count, strcmp(ordering->sorted[at].name, name) < 0);
    return at;
}

static bool is_below(const char *path, const char *folder)
{
    return strncmp(path, folder, strlen(folder)) == 0;
}

/* A folder's name below the tree's folder: "" if the tree is in it; NULL if it is elsewhere. Folder
   paths end in `/`. */
static const char *name_below_top(const struct ordering *ordering, const char *folder)
{
    if (is_below(folder, ordering->top))
        return folder + strlen(ordering->top);
    return is_below(ordering->top, folder) ? "" : NULL;
}

static void take(struct ordering *ordering, size_t number)
{
    if (ordering->taken[number])
        return;
    ordering->taken[number] = true;
    ordering->ordered[ordering->done++] = number;
}

static void take_course_of(struct ordering *ordering, const struct input *course);

/* Takes all remaining lessons of a folder; each course inside it stays together. */
static void take_folder(struct ordering *ordering, const char *folder, const struct input *course)
{
    for (size_t i = first_from(ordering, folder);
         i < ordering->count && is_below(ordering->sorted[i].name, folder); i++) {
        const struct input *own = ordering->sorted[i].course;
        if (!ordering->taken[i] && own && own != course)
            take_course_of(ordering, own);
        take(ordering, i);
    }
}

/* Joins a folder's path and a text to the path of a folder, without `./` and double `/`. */
static char *tidy(struct arena *arena, const char *folder, const char *text)
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
    return buffer_keep(&out, arena);
}

/* What a name in a course file means: one lesson, or all lessons of a folder. */
struct meant {
    size_t first, count;
    const char *folder; /* the folder's name; NULL: a lesson, or outside the tree */
    bool inside;        /* it names something inside the tree's folder */
    const char *path;   /* of that */
};

static struct meant find_entry(const struct ordering *ordering, const char *folder,
                               const char *text)
{
    char *path = tidy(ordering->arena, folder, text);
    struct meant meant = {.folder = name_below_top(ordering, path)};
    if (!meant.folder)
        return meant;
    size_t length = strlen(meant.folder);
    meant.inside = length > 0;
    if (length) {
        meant.path = arena_copy_text(ordering->arena, path, strlen(path) - 1);
        const char *name = meant.path + strlen(path) - length;
        meant.first = first_from(ordering, name);
        if (meant.first < ordering->count &&
            strcmp(ordering->sorted[meant.first].name, name) == 0) {
            meant.count = 1;
            meant.folder = NULL;
            return meant;
        }
    }
    size_t end = meant.first = first_from(ordering, meant.folder);
    while (end < ordering->count && is_below(ordering->sorted[end].name, meant.folder))
        end++;
    meant.count = end - meant.first;
    return meant;
}

static void report_twice(struct ordering *ordering, const struct words *entry, struct place first)
{
    struct diags *diags = ordering->tree->order_diags;
    diag_add(diags, DIAG_DUPLICATE_KEY, entry->at, "'%s' is listed twice", entry->text);
    diag_other(diags, first, "first listed here");
}

static void take_entry(struct ordering *ordering, const char *folder, const struct words *entry,
                       const struct input *course)
{
    struct meant meant = find_entry(ordering, folder, entry->text);
    struct place *listed_at = &ordering->listed_at[meant.first];
    if (meant.count == 0) {
        if (meant.inside)
            diag_add(ordering->tree->order_diags, DIAG_UNREADABLE, entry->at,
                     "the course has no lesson '%s'", entry->text);
    } else if (meant.count == 1 && listed_at->file) {
        report_twice(ordering, entry, *listed_at);
    } else {
        *listed_at = entry->at;
        if (meant.folder)
            take_folder(ordering, meant.folder, course);
        else
            take(ordering, meant.first);
    }
}

/* The path of a course file's folder, ending in `/`, or "". */
static const char *folder_of(struct arena *arena, const struct input *course)
{
    const char *name = course ? course->source.name : "";
    return arena_copy_text(arena, name, path_folder_length(name));
}

/* A folder without lessons may be left out. A name that does not exist is a typing slip that would
   publish a draft. */
static bool is_missing(const char *path)
{
    struct stat status;
    return lstat(path, &status) != 0 && errno != EACCES;
}

static void leave_out(struct ordering *ordering, const struct input *course)
{
    const struct course *keys = input_course_keys(course);
    const char *folder = folder_of(ordering->arena, course);
    for (size_t i = 0; i < keys->leave_out_count; i++) {
        const struct words *entry = &keys->leave_out[i];
        struct meant meant = find_entry(ordering, folder, entry->text);
        if (meant.count == 0 && meant.inside && is_missing(meant.path))
            diag_add(ordering->tree->order_diags, DIAG_UNREADABLE, entry->at,
                     "there is no lesson or folder '%s' to leave out", entry->text);
        for (size_t j = meant.first; j < meant.first + meant.count; j++)
            ordering->taken[j] = true;
    }
}

static void take_course_of(struct ordering *ordering, const struct input *course)
{
    const char *folder = folder_of(ordering->arena, course);
    const struct course *keys = input_course_keys(course);
    for (size_t i = 0; i < keys->order_count; i++)
        take_entry(ordering, folder, &keys->order[i], course);
    /* the course file of the whole tree may be above it */
    const char *name = name_below_top(ordering, folder);
    take_folder(ordering, name ? name : "", course);
}

/* Whether any course file changes the order. */
static bool is_asked_for(const struct course_tree *tree)
{
    for (size_t i = 0; i < tree->course_count; i++) {
        const struct course *keys = input_course_keys(tree->courses[i]);
        if (keys->order_count + keys->leave_out_count > 0)
            return true;
    }
    return false;
}

/* Replaces the lessons with those that were taken. */
static void keep_ordered(const struct ordering *ordering)
{
    struct course_tree *tree = ordering->tree;
    struct course_lesson *lessons = memory_alloc(ordering->done * sizeof *lessons);
    for (size_t i = 0; i < ordering->done; i++)
        lessons[i] = tree->lessons[ordering->ordered[i]];
    memory_free(tree->lessons);
    tree->lessons = lessons;
    tree->count = ordering->done;
}

void course_tree_order(struct course_tree *tree)
{
    if (!is_asked_for(tree))
        return;
    struct arena *arena = arena_new();
    struct ordering ordering = {.tree = tree,
                                .arena = arena,
                                .top = arena_format(arena, "%s/", tree->path),
                                .sorted = tree->lessons,
                                .count = tree->count};
    ordering.ordered = arena_array(arena, tree->count, sizeof *ordering.ordered);
    ordering.taken = arena_array(arena, tree->count, sizeof *ordering.taken);
    /* one more, because an entry may begin after the last lesson */
    ordering.listed_at = arena_array(arena, tree->count + 1, sizeof *ordering.listed_at);
    for (size_t i = 0; i < tree->course_count; i++)
        leave_out(&ordering, tree->courses[i]);
    take_course_of(&ordering, tree->course);
    keep_ordered(&ordering);
    arena_free(arena);
    diags_sort(tree->order_diags);
}
