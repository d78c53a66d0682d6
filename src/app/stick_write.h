#ifndef RATAMARK_APP_STICK_WRITE_H
#define RATAMARK_APP_STICK_WRITE_H
/* Writes chosen hands into the text of a lesson and changes nothing else. */
#include "base/buffer.h"
#include "play/hands.h"
#include "read/read.h"

struct stick_writer;

struct stick_writer *stick_writer_new(struct read_source source, const struct lesson *lesson,
                                      struct arena *arena);
/* Writes the hands of a row: a letter for each `?`, a line for `auto`, a new line if the exercise
   has no sticking. False if that is impossible; `problem` says why. */
bool stick_writer_add(struct stick_writer *writer, const struct score_exercise *exercise,
                      const struct hand_row *row, struct buffer *problem);
/* The new text. */
void stick_writer_text(const struct stick_writer *writer, struct buffer *out);

/* Adds the hands of the notes that `wanted` chooses, as a stroke line: spaces between beats, `|`
   between bars. Silent strokes in between get the right hand. With `written`, an exercise that is
   read with hands swapped gives the letters of the file. */
typedef bool stick_wanted(const struct note *note, const void *closure);
void stick_line(const struct score_exercise *exercise, const struct hand_row *row, bool written,
                stick_wanted *wanted, const void *closure, struct buffer *out);

#endif
