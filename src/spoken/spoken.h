#ifndef RATAMARK_SPOKEN_SPOKEN_H
#define RATAMARK_SPOKEN_SPOKEN_H
/*
 * Writes the whole lesson as text for screen readers and braille, in the order played. ratamark(1),
 * READING, describes the language. No stroke is left out: tests/unit/test_spoken.c reads the words
 * back and compares them with the score.
 *
 *     struct buffer out = {0};
 *     spoken_lesson(score, (struct exercise_choice){0}, &out);
 *     ... buffer_text(&out) ...
 *     buffer_release(&out);
 *
 * Every line is a whole sentence or more, and none is wrapped; paragraphs have empty lines between
 * them.
 */
#include "base/buffer.h"
#include "model/choice.h"
#include "model/score.h"

/* The whole lesson: head, exercises, caution, foot. */
void spoken_lesson(const struct score *score, struct exercise_choice choice, struct buffer *out);

/* What comes before the exercises: from the title to the notes and the plan of the kit. */
void spoken_head(const struct score *score, struct buffer *out);

/* "Exercise 3: The first groove", without a line end. `exercise` is an index, here and below. */
void spoken_heading(const struct score *score, size_t exercise, struct buffer *out);

/* An exercise's subtitle and paragraphs, if any: a line each, after an empty line. */
void spoken_paragraphs(const struct score *score, size_t exercise, struct buffer *out);

/* Its practice ladder and what limits it, if it has one. */
void spoken_ladder(const struct score *score, size_t exercise, struct buffer *out);

/* What comes after the exercises: the lesson's own ladder, the caution, the copyright. */
void spoken_tail(const struct score *score, struct buffer *out);

/* Its opening, its bars, and the form of a practice form. */
void spoken_music(const struct score *score, size_t exercise, struct buffer *out);

#endif
