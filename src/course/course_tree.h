#ifndef RATAMARK_COURSE_COURSE_TREE_H
#define RATAMARK_COURSE_COURSE_TREE_H
/*
 * A folder of lessons as one course: which lessons there are, in which order, and which course file
 * each stands under. Nothing is read here but folders and course files.
 *
 *     struct course_tree tree;
 *     if (!course_tree_open(&tree, "lessons", NULL)) ... errno ...
 *     for (size_t i = 0; i < tree.count; i++) use(&tree.lessons[i]);
 *     course_tree_close(&tree);
 *
 * A lesson's course file is the one that it has elsewhere, too: the nearest (input.h), which takes
 * from those above it what it does not say. A course file below another's folder makes a course in
 * the course: its lessons stay together.
 */
#include "base/file.h"
#include "console/input.h"

/* There may be a million: what can be told from the name is not kept. */
struct course_lesson {
    const char *name;        /* below the folder: "week-2/fill.yaml" */
    struct input *course;    /* owned by the tree's inputs; NULL: none */
    struct file_stamp stamp; /* as the walk found the file */
    int problem;             /* errno why it cannot be read; EINVAL: it is no plain file */
};

/* What lies below the folder and is left aside: links to folders, folders that cannot be read. */
struct course_aside {
    const char *path;
    int problem; /* errno; 0: a link to a folder */
};

struct course_tree {
    struct arena *arena; /* of all that follows, but for the lessons themselves */
    struct inputs *inputs;
    const char *path;              /* of the folder, as given, without `/` at its end */
    struct input *course;          /* of the folder itself; NULL: none */
    struct course_lesson *lessons; /* in the course's order: as its file lists them, then by name */
    size_t count;
    struct input **courses; /* all course files of the lessons, in the order of their paths */
    size_t course_count;
    struct course_aside *aside; /* in the order of their paths */
    size_t aside_count;
    bool incomplete;           /* of `aside`, one could not be read: its lessons are not known */
    struct diags *order_diags; /* what course files list twice, or in vain */
};

/* Lists the lessons below `path`; `except` is a folder that is left out (the outputs'), NULL: none,
   as is what begins with a dot. False with errno where the folder itself cannot be read; the tree
   is to be closed all the same. */
bool course_tree_open(struct course_tree *tree, const char *path, const char *except);
void course_tree_close(struct course_tree *tree);

/* What the course is called: its file's title, or else the name of its folder, also where that was
   given as `.` or `..`. Lives as long as the tree. */
const char *course_tree_title(const struct course_tree *tree);

/* The path of what has this name below the tree's folder, as it is opened: in `room`, good until
   that is used again. */
const char *course_tree_path(const struct course_tree *tree, const char *name, struct buffer *room);
/* So many bytes of its name are without its ending: its outputs are named after them. */
size_t course_lesson_stem(const struct course_lesson *lesson);

/* Whether lessons can be made under this course file (NULL: none): it was read, without error. */
bool course_usable(const struct input *course);

#endif
