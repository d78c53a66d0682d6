#ifndef RATAMARK_COURSE_COURSE_MAKE_H
#define RATAMARK_COURSE_COURSE_MAKE_H
/* One lesson of a course, from its file to staged files and what is to be told of it. Says nothing
   itself: it may run in a process of its own. */
#include "course/course.h"
#include "course/course_options.h"
#include "course/course_out.h"
#include "draw/draw.h"

/* What all lessons of a run share. */
struct course_work {
    const struct course_options *options;
    const struct course_tree *tree;
    struct course_out *out;
    struct faces *faces; /* open; each lesson makes them new */
    const char *date;    /* of the documents; NULL: the lessons' own */
};

/* A file that was made, staged as course_staged_name() says. */
struct course_output {
    const char *place; /* below OUT */
    struct digest digest;
    struct file_stamp stamp;
};

struct course_made {
    enum status status;   /* STATUS_LESSON: it has errors or cannot be read */
    struct digest digest; /* of the lesson's bytes, and the file they are from */
    struct file_stamp stamp;
    bool was_read;
    struct course_output *outputs; /* where it is good */
    size_t count;
    struct buffer told;  /* findings and errors, as they are to be printed */
    struct arena *arena; /* of outputs */
};

/* Makes lesson `number` of the tree. */
void course_make(const struct course_work *work, size_t number, struct course_made *made);
void course_made_release(struct course_made *made);

enum { STAGED_NAME_ROOM = 64 };
void course_staged_name(size_t lesson, size_t file, char name[STAGED_NAME_ROOM]);

#endif
