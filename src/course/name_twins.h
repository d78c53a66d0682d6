#ifndef RATAMARK_COURSE_NAME_TWINS_H
#define RATAMARK_COURSE_NAME_TWINS_H
/* Lessons whose names differ only in capital letters. */
#include "course/course_tree.h"

/* Reports them: a disk that ignores case, as most do on macOS and Windows, would keep the outputs
 * of only one. Considers ASCII letters only. */
void name_twins_say(const struct course_tree *tree);

#endif
