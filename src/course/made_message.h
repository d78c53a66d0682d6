#ifndef RATAMARK_COURSE_MADE_MESSAGE_H
#define RATAMARK_COURSE_MADE_MESSAGE_H
/* What was made of a lesson, as bytes on their way from the process that made it. Both ends are the
   same program. */
#include "course/lesson_make.h"

/* Adds a message: its length, then what was made. */
void message_add(struct buffer *out, const struct made_lesson *made);

/* Bytes of the message that begins here, its length included; 0 where that is not known yet. */
size_t message_length(const struct buffer *in);
/* Reads the whole message that `in` begins with, and takes it out of the buffer. To be released. */
void message_take(struct buffer *in, struct made_lesson *made);

#endif
