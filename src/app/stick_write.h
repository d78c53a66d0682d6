#ifndef RATAMARK_APP_STICK_WRITE_H
#define RATAMARK_APP_STICK_WRITE_H
/* Chosen hands written into a lesson's text: the bytes where they belong, and no others. */
#include "base/buffer.h"
#include "play/hands.h"
#include "read/read.h"

struct stick_writer;

struct stick_writer *stick_writer_new(struct read_source source, const struct lesson *lesson,
                                      struct arena *arena);
/* Writes the row's hands into the text: a letter for each `?`, a line for `auto`, a line of its own
   where the exercise has no sticking. False, with why in `problem`, where that cannot be. */
bool stick_writer_add(struct stick_writer *writer, const struct score_exercise *exercise,
                      const struct hand_row *row, struct buffer *problem);
/* The new text. */
void stick_writer_text(const struct stick_writer *writer, struct buffer *out);

/* The letters of some of the exercise's notes as a stroke line: spaces between beats, `|` between
   bars. `wanted` says which; strokes between them that fell silent take the leading hand. Of an
   exercise that is read with hands changed, `written` gives what stands in the file. */
typedef bool stick_wanted(const struct note *note, const void *closure);
void stick_line(const struct score_exercise *exercise, const struct hand_row *row, bool written,
                stick_wanted *wanted, const void *closure, struct buffer *out);

#endif
