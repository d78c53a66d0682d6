#ifndef RATAMARK_COURSE_LESSON_MAKE_H
#define RATAMARK_COURSE_LESSON_MAKE_H
/* Makes one lesson of a course: from its file to staged output files and messages. It prints
   nothing, because it may run in a process of its own. */
#include "course/course_options.h"
#include "course/course_out.h"
#include "course/course_tree.h"
#include "draw/draw.h"

/* What all lessons of a run share. */
struct course_work {
    const struct course_options *options;
    const struct course_tree *tree;
    struct course_out *out;
    struct faces *faces; /* open; each lesson renews them */
    const char *date;    /* of the documents; NULL: the lessons' own */
};

/* Opens the fonts for a run and reports what is wrong with them; NULL if they cannot be used. */
struct faces *course_open_faces(const struct course_work *work);

/* Says why a file below OUT could not be written: errno, or 0 if it could not be drawn. */
enum status course_say_unwritten(const struct course_work *work, const char *path, int problem);

/* A file that was made and staged under staged_name(). */
struct made_file {
    const char *path; /* below OUT */
    struct digest digest;
    struct file_stamp stamp;
};

struct made_lesson {
    enum status status;      /* STATUS_LESSON: it has errors or cannot be read */
    struct digest digest;    /* of the lesson's bytes */
    struct file_stamp stamp; /* of its file */
    bool was_read;
    struct made_file *outputs; /* if the status is good */
    size_t count;
    struct buffer messages; /* findings and errors, ready to print */
    struct arena *arena;    /* of outputs */
};

/* Makes lesson `number` of the tree. */
void lesson_make(const struct course_work *work, size_t number, struct made_lesson *made);
void made_lesson_release(struct made_lesson *made);
/* Deletes its staged files. */
void made_lesson_unstage(const struct course_work *work, size_t number,
                         const struct made_lesson *made);

enum { STAGED_NAME_ROOM = 64 };
void staged_name(size_t lesson, size_t file, char name[STAGED_NAME_ROOM]);

#endif
