#ifndef RATAMARK_SPOKEN_SPOKEN_H
#define RATAMARK_SPOKEN_SPOKEN_H
/*
 * The lesson in words: what a page shows to the eye, for who hears it from a screen reader or feels
 * it in braille. From the score alone, in the order played; the language is described in
 * ratamark(1), READING. Nothing that is struck is left out: tests/unit/test_spoken.c takes the
 * words apart again and finds the tree.
 *
 *     struct buffer out = {0};
 *     spoken_lesson(score, (struct exercise_choice){0}, &out);
 *     ... buffer_text(&out) ...
 *     buffer_release(&out);
 *
 * Every line is a whole thought, every paragraph stands between empty lines, and no line is
 * wrapped. Never fails.
 */
#include "base/buffer.h"
#include "model/choice.h"
#include "model/score.h"

/* The whole lesson: head, exercises, caution, foot. */
void spoken_lesson(const struct score *score, struct exercise_choice choice, struct buffer *out);

/* What stands above the exercises: title to notes, and how many exercises there are. */
void spoken_head(const struct score *score, struct buffer *out);

/* "Exercise 3: The first groove", without a line's end. `exercise` is an index. */
void spoken_heading(const struct score *score, size_t exercise, struct buffer *out);

/* Its subtitle and paragraphs, a line each, with empty lines between; nothing where it has none. */
void spoken_paragraphs(const struct score *score, size_t exercise, struct buffer *out);

/* Its practice ladder and what limits it; nothing where it has none. */
void spoken_ladder(const struct score *score, size_t exercise, struct buffer *out);

/* What stands behind the exercises: the lesson's own ladder, the caution, whose work it is. */
void spoken_tail(const struct score *score, struct buffer *out);

/* Its music. */
void spoken_music(const struct score *score, size_t exercise, struct buffer *out);

#endif
