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

/* What has become of a lesson. */
struct fate {
    bool taken, left_out;
    struct place by; /* the entry of a course file that took it or left it out; file NULL: none */
};

/* The lessons sorted by name, and those that already have their place in the course's order. */
struct ordering {
    struct course_tree *tree;
    struct arena *arena;
    const char *top; /* the tree's folder, ending in `/` */
    const struct course_lesson *sorted;
    size_t count;
    struct fate *fates;    /* by number in `sorted` */
    size_t *ordered, done; /* numbers in `sorted` */
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

static void take(struct ordering *ordering, size_t number, struct place by)
{
    struct fate *fate = &ordering->fates[number];
    if (fate->taken)
        return;
    *fate = (struct fate){.taken = true, .by = by};
    ordering->ordered[ordering->done++] = number;
}

static void take_course_of(struct ordering *ordering, struct input *course);

/* Takes all remaining lessons of a folder; each course inside it stays together. */
static void take_folder(struct ordering *ordering, const char *folder, const struct input *course,
                        struct place by)
{
    for (size_t i = first_from(ordering, folder);
         i < ordering->count && is_below(ordering->sorted[i].name, folder); i++) {
        struct input *own = ordering->sorted[i].course;
        if (!ordering->fates[i].taken && own && own != course)
            take_course_of(ordering, own);
        take(ordering, i, by);
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

/* The path of a course file's folder, ending in `/`, or "". */
static const char *folder_of(struct arena *arena, const struct input *course)
{
    const char *name = course ? course->source.name : "";
    return arena_copy_text(arena, name, path_folder_length(name));
}

/* What a name in a course file means: one lesson, or all lessons of a folder. */
struct meant {
    size_t first, count;
    const char *folder; /* the folder's name; NULL: a lesson, or outside the tree */
    bool inside;        /* it names something inside the tree's folder */
    const char *path;   /* of that */
};

static bool find_lesson(const struct ordering *ordering, const char *name, size_t *number)
{
    *number = first_from(ordering, name);
    return *number < ordering->count && strcmp(ordering->sorted[*number].name, name) == 0;
}

static struct meant all_below(const struct ordering *ordering, struct meant meant)
{
    size_t end = meant.first = first_from(ordering, meant.folder);
    while (end < ordering->count && is_below(ordering->sorted[end].name, meant.folder))
        end++;
    meant.count = end - meant.first;
    return meant;
}

/* A lesson may be named without its file type, unless a lesson or folder has that exact name. */
static struct meant find_entry(const struct ordering *ordering, const char *folder,
                               const char *text)
{
    static const char *const endings[] = {LESSON_ENDING, LESSON_SHORT_ENDING};
    char *path = tidy(ordering->arena, folder, text);
    struct meant meant = {.folder = name_below_top(ordering, path)};
    if (!meant.folder)
        return meant;
    size_t length = strlen(meant.folder);
    meant.inside = length > 0;
    if (!meant.inside)
        return all_below(ordering, meant);
    meant.path = arena_copy_text(ordering->arena, path, strlen(path) - 1);
    const char *name = meant.path + strlen(path) - length;
    bool found = find_lesson(ordering, name, &meant.first);
    if (!found)
        meant = all_below(ordering, meant);
    for (size_t i = 0; !found && meant.count == 0 && i < 2; i++)
        found = find_lesson(ordering, arena_format(ordering->arena, "%s%s", name, endings[i]),
                            &meant.first);
    if (found) {
        meant.count = 1;
        meant.folder = NULL;
    }
    return meant;
}

/* Suggests the lesson or folder closest to a misspelled name. */
static void report_missing(const struct ordering *ordering, struct input *course,
                           const struct words *entry, const char *before, const char *after)
{
    diag_add(course->diags, DIAG_UNREADABLE, entry->at, "%s '%s'%s", before, entry->text, after);
    if (!diag_listed(course->diags))
        return;
    VECTOR(const char *) names = {0};
    const char *folder = name_below_top(ordering, folder_of(ordering->arena, course));
    folder = folder ? folder : "";
    for (size_t i = first_from(ordering, folder);
         i < ordering->count && is_below(ordering->sorted[i].name, folder); i++) {
        const char *name = ordering->sorted[i].name + strlen(folder);
        *vector_push(&names, ordering->arena) = name;
        for (const char *at = name; (at = strchr(at, '/')); at++)
            *vector_push(&names, ordering->arena) =
                arena_copy_text(ordering->arena, name, (size_t)(at - name));
    }
    diag_nearest(course->diags, diag_nearest_name(entry->text, names.items, names.count));
}

/* Other entries of this course file already took every lesson that this one matches. */
static void report_already_taken(struct input *course, const struct words *entry, struct fate fate)
{
    diag_add(course->diags, DIAG_DUPLICATE_KEY, entry->at,
             fate.left_out ? "'%s' is in the order and left out" : "'%s' is listed twice",
             entry->text);
    diag_other(course->diags, fate.by, fate.left_out ? "left out here" : "first listed here");
}

static void take_entry(struct ordering *ordering, const char *folder, const struct words *entry,
                       struct input *course)
{
    size_t before = ordering->done;
    struct meant meant = find_entry(ordering, folder, entry->text);
    if (meant.count == 0) {
        if (meant.inside)
            report_missing(ordering, course, entry, "the course has no lesson", "");
        return;
    }
    struct fate fate = ordering->fates[meant.first];
    if (meant.folder)
        take_folder(ordering, meant.folder, course, entry->at);
    else
        take(ordering, meant.first, entry->at);
    if (ordering->done == before && fate.by.file == entry->at.file)
        report_already_taken(course, entry, fate);
}

/* A folder without lessons may be left out. A name that does not exist is a typing slip that would
   publish a draft. */
static bool is_missing(const char *path)
{
    struct stat status;
    return lstat(path, &status) != 0 && errno != EACCES;
}

static void leave_out(struct ordering *ordering, struct input *course)
{
    const struct course *keys = input_course_keys(course);
    const char *folder = folder_of(ordering->arena, course);
    for (size_t i = 0; i < keys->leave_out_count; i++) {
        const struct words *entry = &keys->leave_out[i];
        struct meant meant = find_entry(ordering, folder, entry->text);
        if (meant.count == 0 && meant.inside && is_missing(meant.path))
            report_missing(ordering, course, entry, "there is no lesson or folder",
                           " to leave out");
        for (size_t j = meant.first; j < meant.first + meant.count; j++)
            ordering->fates[j] = (struct fate){.taken = true, .left_out = true, .by = entry->at};
    }
}

static void take_course_of(struct ordering *ordering, struct input *course)
{
    const char *folder = folder_of(ordering->arena, course);
    const struct course *keys = input_course_keys(course);
    for (size_t i = 0; i < keys->order_count; i++)
        take_entry(ordering, folder, &keys->order[i], course);
    /* the course file of the whole tree may be above it */
    const char *name = name_below_top(ordering, folder);
    take_folder(ordering, name ? name : "", course, (struct place){0});
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
    ordering.fates = arena_array(arena, tree->count, sizeof *ordering.fates);
    for (size_t i = 0; i < tree->course_count; i++)
        leave_out(&ordering, tree->courses[i]);
    take_course_of(&ordering, tree->course);
    keep_ordered(&ordering);
    arena_free(arena);
    for (size_t i = 0; i < tree->course_count; i++)
        diags_sort(tree->courses[i]->diags);
}
