#ifndef RATAMARK_CONSOLE_INPUT_H
#define RATAMARK_CONSOLE_INPUT_H
/*
 * Reads lessons and the course files above them.
 *
 *     struct inputs *inputs = inputs_new();
 *     struct input *lesson = input_open(inputs, "week-2/fill.yaml");
 *     ... lesson->source, lesson->course ...
 *     input_close(lesson);
 *     inputs_free(inputs);
 *
 * A lesson's course file is the nearest `course.yaml`: in the lesson's folder or one of the
 * COURSE_LEVELS_MAX folders above it. Standard input counts as a file in the current folder. Each
 * course file is read once.
 */
#include "base/file.h"
#include "console/status.h"
#include "diag/diag.h"
#include "read/read.h"

#include <stdbool.h>
#include <stddef.h>

enum { COURSE_LEVELS_MAX = 8 };
#define COURSE_NAME "course.yaml"
#define LESSON_ENDING ".yaml"
#define LESSON_SHORT_ENDING ".yml"

/* A file that was read, or the `unreadable` or `limit` error that says why not. */
struct input {
    struct read_source source;      /* bytes NULL if it could not be read */
    struct arena *arena;            /* owns diags and, for a course file, its context */
    struct diags *diags;            /* findings so far */
    struct course_context *context; /* of a course file */
    struct input *course;    /* the course file above this file; NULL: none. Owned by inputs */
    struct file_stamp stamp; /* of a plain file that was read */
    enum status status;      /* STATUS_SYSTEM if the system refused to read it */
    bool reported;           /* for callers: its findings have been reported */
    struct input *next;
};

struct inputs;

struct inputs *inputs_new(void);
void inputs_free(struct inputs *inputs);

/* Treats standard input as the file of this name, in messages and to find its course files. The
   name must outlive the inputs. */
void inputs_name_standard(struct inputs *inputs, const char *name);

/* Reads a lesson and its course files. Never NULL. Path "-" is standard input. */
struct input *input_open(struct inputs *inputs, const char *path);
/* As input_open(), for a file found in a folder: refuses pipes and devices, which could block. */
struct input *input_open_found(struct inputs *inputs, const char *path);
/* Reads one plain file, without a course. Never NULL. */
struct input *input_read_plain(const char *path);
void input_close(struct input *input);

/* Gets a path; returns true to end the search. */
typedef bool input_take(void *closure, const char *path);
/* Calls `take` with each path where a lesson's course file may be, nearest first. */
void input_course_places(const char *lesson, input_take *take, void *closure);

/* A course file by its own path. Never NULL; owned by the inputs. */
struct input *input_course(struct inputs *inputs, const char *path);
/* The course file of a lesson, or of a folder whose path ends in `/`; NULL: none. `*levels`: how
   many folders further up it is. */
struct input *input_course_above(struct inputs *inputs, const char *lesson, int *levels);
/* The keys of a course file that was read. Never NULL: without one (NULL, or a file with errors
   that leave nothing) every key is empty. */
const struct course *input_course_keys(const struct input *course);
/* Whether a path names a course file, or any lesson or course file. */
bool is_course_file(const char *path);
bool input_is_yaml(const char *path);

/* All lessons and course files in a folder and below, in byte order of their paths. Leaves out
   names that begin with a dot, and links to folders. False with errno if a folder cannot be read.
   The texts live in the arena. */
bool input_list(const char *folder, struct arena *arena, const char *const **paths, size_t *count);

#endif
