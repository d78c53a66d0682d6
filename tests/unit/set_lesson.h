#ifndef RATAMARK_TESTS_SET_LESSON_H
#define RATAMARK_TESTS_SET_LESSON_H
/* A lesson's text all the way to its layout, for tests that look at pages. */
#include "fake_metrics.h"
#include "layout/layout.h"

#include "diag/diag.h"
#include "draw/draw.h"

struct set_lesson {
    struct arena *arena;
    struct diags *diags;
    struct score *score;
    struct fake_metrics *fake;
    struct faces *faces;
    struct metrics metrics;
    struct layout *layout; /* NULL: the lesson has errors */
};

/* `course` may be NULL; `faces` true: set with the real ones. The text must outlive it. */
void set_lesson_open(struct set_lesson *set, const char *name, const char *text, size_t length,
                     const char *course, bool faces);
/* Keeps the real faces open from lesson to lesson, as opening them takes longer than setting a
   page; until they are dropped. */
void set_lesson_keep_faces(void);
void set_lesson_drop_faces(void);
const char *set_lesson_label(const struct set_lesson *set, label_id label);
void set_lesson_close(struct set_lesson *set);

#endif
