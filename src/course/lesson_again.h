#ifndef RATAMARK_COURSE_LESSON_AGAIN_H
#define RATAMARK_COURSE_LESSON_AGAIN_H
/* Reads a lesson of a course once more, for the booklet and the index. */
#include "course/course_tree.h"
#include "lib/pipeline.h"

struct lesson_again {
    struct input *input;
    struct pipeline work;
};

/* Prepares lesson `number`; the caller may then set more of `work`. Release it. */
void lesson_again_open(struct lesson_again *again, const struct course_tree *tree, size_t number,
                       enum handed handed);
/* Runs its stages. False, with a line in `problem`, if it has errors by now. */
bool lesson_again_run(struct lesson_again *again, enum stage last, struct buffer *problem);
void lesson_again_release(struct lesson_again *again);

#endif
