#ifndef RATAMARK_COURSE_COURSE_WIRE_H
#define RATAMARK_COURSE_COURSE_WIRE_H
/* What was made of a lesson, as bytes on their way from the process that made it. Both ends are the
   same program. */
#include "course/course_make.h"

/* Adds a message: its length, then what was made. */
void wire_add(struct buffer *out, const struct course_made *made);

/* Bytes of the message that begins here, its length included; 0 where that is not known yet. */
size_t wire_length(const struct buffer *in);
/* Reads the whole message that `in` begins with, and takes it out of the buffer. To be released. */
void wire_take(struct buffer *in, struct course_made *made);

#endif
