#ifndef RATAMARK_READ_TIDY_H
#define RATAMARK_READ_TIDY_H
/* The house's own layout of lesson and course files (ratamark-lesson(5), TIDY FILES). */
#include "base/buffer.h"
#include "read/read.h"

/* Adds the file, which has no errors, in the house's layout. Every text and comment keeps its
   spelling. False if the file has something that cannot be moved. */
bool read_tidy(struct read_source source, bool course, struct buffer *out);

/* Whether two files say the same to the reader: the same texts in the same lists and maps; keys
   that a table has may stand in another order. */
bool read_same_data(struct read_source a, struct read_source b, bool course);

#endif
