#ifndef RATAMARK_CONSOLE_INPUT_H
#define RATAMARK_CONSOLE_INPUT_H
/*
 * Lessons and the course files above them.
 *
 *     struct inputs *inputs = inputs_new();
 *     struct input *lesson = input_open(inputs, "week-2/fill.yaml");
 *     ... lesson->source, lesson->course ...
 *     input_close(lesson);
 *     inputs_free(inputs);
 *
 * A lesson's course file is the nearest `course.yaml`: in the lesson's folder or one of the
 * COURSE_LEVELS_MAX folders above it. Standard input counts as lying in the current folder. Each
 * course file is read once.
 */
#include "base/file.h"
#include "console/status.h"
#include "diag/diag.h"
#include "read/read.h"

#include <stdbool.h>
#include <stddef.h>

enum { COURSE_LEVELS_MAX = 8 };

/* A file that was read, or the `unreadable` or `limit` error why not. */
struct input {
    struct read_source source;      /* bytes NULL where it could not be read */
    struct arena *arena;            /* of diags and, for a course file, of its context */
    struct diags *diags;            /* what was found so far */
    struct course_context *context; /* of a course file */
    struct input *course;           /* of a lesson; of a course file, the one above it. NULL: none.
                                       Owned by the inputs */
    struct file_stamp stamp;        /* of a plain file that was read */
    enum status status;             /* STATUS_SYSTEM where the system refused it */
    bool reported;                  /* for whoever tells of the findings once */
    struct input *next;
};

struct inputs;

struct inputs *inputs_new(void);
void inputs_free(struct inputs *inputs);

/* A lesson and its course. Never NULL. Path "-" is standard input. */
struct input *input_open(struct inputs *inputs, const char *path);
/* A file by itself, which must be a plain one, without a course. Never NULL. */
struct input *input_read_plain(const char *path);
void input_close(struct input *input);

/* Takes a path; true ends the search. */
typedef bool input_take(void *closure, const char *path);
/* Where a lesson's course file would be looked for, nearest first. */
void input_course_places(const char *lesson, input_take *take, void *closure);

/* A course file by its own name, shared with the lessons below it. Never NULL; the inputs own it.
 */
struct input *input_course(struct inputs *inputs, const char *path);
/* The course file of a lesson, or of a folder whose path ends in `/`; NULL: none. `*levels` is how
   many folders above it lies. */
struct input *input_course_above(struct inputs *inputs, const char *lesson, int *levels);
/* The keys of a course file that was read. Never NULL: without one (NULL, or a file with errors
   that leave nothing) every key is empty. */
const struct course *input_course_keys(const struct input *course);
/* The file's name is that of course files. */
bool is_course_file(const char *path);

/* The paths of all lessons and course files below a folder in the order of their bytes. Names that
   begin with a dot and links to folders are left out. False with errno where a folder cannot be
   read. The texts live in the arena. */
bool input_list(const char *folder, struct arena *arena, const char *const **paths, size_t *count);

#endif
