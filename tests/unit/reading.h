#ifndef RATAMARK_TESTS_READING_H
#define RATAMARK_TESTS_READING_H
/* Reading texts in tests: each test has one arena and one list of findings. */
#include "read/read.h"

extern struct arena *arena;
extern struct diags *diags;

/* Fixture: makes and frees the arena and the list. */
void reading_begin(void);
void reading_finish(void);

/* Reads a lesson given as text, under the course last read, if any. */
struct lesson *lesson_from(const char *text);
/* Reads a course file given as text. */
void course_from(const char *text);

/* Reads a lesson that must have no finding. */
struct lesson *good_lesson(const char *text);

/* Fails unless the list has exactly one finding, of this code and at this place. */
void assert_only(enum diag_code code, unsigned line, unsigned column);
/* Fails unless the list has no finding, and shows what it has. */
void assert_no_finding(void);
/* The finding with this index; fails if there is none. */
const struct diag *finding(size_t index);

/* Place (1, 1) of a text in no file, for the little languages. */
struct place start_place(void);

/* The little languages on their own, from that place on. NULL after a reported error. */
struct stroke_line *read_stroke_line(const char *text);
struct rhythm_line *read_rhythm_line(const char *text);
struct address_list *read_addresses(const char *text);

#endif
