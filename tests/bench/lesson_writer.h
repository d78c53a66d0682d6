#ifndef RATAMARK_BENCH_LESSON_WRITER_H
#define RATAMARK_BENCH_LESSON_WRITER_H
/*
 * Long lessons for the bench: a mix of what teachers write, in the proportions of the example
 * course (200 bytes a bar, 14 a written note or rest, 5 exercises for 13 bars: README.md).
 */
#include "base/buffer.h"

/* A unit is seven exercises of LESSON_UNIT_BARS bars between them: a pad sticking that cycles, a
   triplet groove, a written-out fill, quintuplets, a line in 6/8, flams and drags, and a
   eighth-note line with accents by count. */
enum { LESSON_UNIT_BARS = 18 };

/* Units that fill a hundred pages and not many more. */
enum { HUNDRED_PAGES_UNITS = 67 };

/* Writes the head of a lesson and as many units; no two units are the same. */
void write_lesson(struct buffer *out, int units);
/* The same from a unit on. */
void write_lesson_from(struct buffer *out, int first, int units);

/* The same without a letter, so that all hands have to be chosen, with both at once in every
   groove: five exercises of LESSON_OPEN_BARS bars between them. */
enum { LESSON_OPEN_BARS = 14 };
void write_open_lesson(struct buffer *out, int units);

/* As many whole units as stay within so many bytes. Returns their number. */
int write_lesson_of(struct buffer *out, size_t bytes);

#endif
