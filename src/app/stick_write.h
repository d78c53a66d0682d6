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

/* Progress through an exercise, bar by bar. All fields after the first five start as 0. */
typedef bool stick_wanted(const struct note *note, const void *closure);
struct stick_walk {
    const struct score_exercise *exercise;
    const struct hand_row *row;
    bool written;         /* print the file's own letters even if hands are swapped */
    stick_wanted *wanted; /* chooses notes; NULL: all of them */
    const void *closure;
    uint32_t expected; /* the number of the next stroke */
    size_t event;
    const struct score_bar *last_bar; /* of the last letter */
    uint16_t last_beat;
};

/* Adds the hands of the next bar as a stroke line: spaces between beats, `|` between bars. Silent
   strokes in between get the right hand. */
void stick_bar(struct stick_walk *walk, size_t index, struct buffer *out);

#endif
