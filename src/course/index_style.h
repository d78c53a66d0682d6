#ifndef RATAMARK_COURSE_INDEX_STYLE_H
#define RATAMARK_COURSE_INDEX_STYLE_H
/* The style sheet of the index, the same for every course. */
extern const char index_style[];

#endif
