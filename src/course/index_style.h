#ifndef RATAMARK_COURSE_INDEX_STYLE_H
#define RATAMARK_COURSE_INDEX_STYLE_H
/* The style sheet of the index: holds nothing of a lesson. */
extern const char index_style[];

#endif
