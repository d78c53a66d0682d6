#ifndef RATAMARK_COURSE_NAME_TWINS_H
#define RATAMARK_COURSE_NAME_TWINS_H
/* Lessons whose names differ in capital letters alone. */
#include "course/course_tree.h"

/* Says which they are: a disk that does not tell capitals apart, as most of macOS and Windows,
   keeps the outputs of one of them. ASCII letters alone count. */
void name_twins_say(const struct course_tree *tree);

#endif
