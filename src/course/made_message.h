#ifndef RATAMARK_COURSE_MADE_MESSAGE_H
#define RATAMARK_COURSE_MADE_MESSAGE_H
/* A made lesson as bytes, for sending it from the process that made it. Sender and receiver are the
   same program. */
#include "course/lesson_make.h"

/* Adds a message: its length, then the made lesson. */
void message_add(struct buffer *out, const struct made_lesson *made);

/* The length of the message that `in` begins with; 0 if too little of it is here to know. */
size_t message_length(const struct buffer *in);
/* Reads the complete message at the start of `in` and removes it. Release `made`. */
void message_take(struct buffer *in, struct made_lesson *made);

#endif
