#ifndef RATAMARK_COURSE_EMBEDDED_FINDER_H
#define RATAMARK_COURSE_EMBEDDED_FINDER_H
/* find.js inside the program (written by fonts/embed.c). */
#include <stddef.h>

extern const unsigned char embedded_finder[];
extern const size_t embedded_finder_size;

#endif
