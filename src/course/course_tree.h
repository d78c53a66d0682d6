#ifndef RATAMARK_COURSE_COURSE_TREE_H
#define RATAMARK_COURSE_COURSE_TREE_H
/*
 * A folder of lessons as one course: its lessons in order, and the course file of each. Reads
 * folders and course files, but no lessons.
 *
 *     struct course_tree tree;
 *     if (!course_tree_open(&tree, "lessons", NULL, NULL)) ... errno ...
 *     for (size_t i = 0; i < tree.count; i++) use(&tree.lessons[i]);
 *     course_tree_close(&tree);
 *
 * A lesson's course file is the nearest one (input.h); it inherits from those above it. A course
 * file in a folder below makes a course inside the course, and its lessons stay together.
 */
#include "base/file.h"
#include "console/input.h"

/* There may be a million, so nothing is kept that the name already says. */
struct course_lesson {
    const char *name;        /* path below the folder: "week-2/fill.yaml" */
    struct input *course;    /* owned by the tree's inputs; NULL: none */
    struct file_stamp stamp; /* of the file when the folder was listed */
    int problem;             /* errno: why it cannot be read; EINVAL: it is not a plain file */
};

/* Something below the folder that was skipped: a link to a folder, or a folder that cannot be read.
 */
struct course_aside {
    const char *path;
    int problem; /* errno; 0: a link to a folder */
};

struct course_tree {
    struct arena *arena; /* of everything below except the list of lessons */
    struct inputs *inputs;
    bool owns_inputs;
    const char *path;              /* of the folder as given, without a `/` at its end */
    struct input *course;          /* of the folder itself; NULL: none */
    struct course_lesson *lessons; /* in order: as course files list them, then by name */
    size_t count;
    struct input **courses; /* all course files, sorted by path */
    size_t course_count;
    struct course_aside *aside; /* sorted by path */
    size_t aside_count;
    bool incomplete; /* a folder could not be read: its lessons are unknown */
};

/* Lists the lessons in `path` and below, without names that begin with a dot and without the folder
   `except` (the outputs; NULL: none). `inputs` are lent; NULL: the tree has its own. False with
   errno if the folder itself cannot be read. Close the tree in both cases. */
bool course_tree_open(struct course_tree *tree, const char *path, const char *except,
                      struct inputs *inputs);
void course_tree_close(struct course_tree *tree);

/* The title in the course file, or otherwise the real name of the folder, even if it was given as
   `.` or
   `..`. Lives as long as the tree. */
const char *course_tree_title(const struct course_tree *tree);

/* The path to open for a name below the tree's folder; it is written to `room`. */
const char *course_tree_path(const struct course_tree *tree, const char *name, struct buffer *room);
/* The length of its name without the ending: the stem of its outputs' names. */
size_t course_lesson_stem(const struct course_lesson *lesson);
/* The name of its file, without the ending. */
const char *course_lesson_word(const struct course_lesson *lesson, struct arena *arena);

/* Whether lessons can be made with this course file (NULL: none): neither it nor those above it
   have errors. */
bool course_usable(const struct input *course);

#endif
