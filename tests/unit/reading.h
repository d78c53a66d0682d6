#ifndef RATAMARK_TESTS_READING_H
#define RATAMARK_TESTS_READING_H
/* Reading texts in tests: one arena and one list of findings a test. */
#include "read/read.h"

extern struct arena *arena;
extern struct diags *diags;

/* Fixture: a new arena and list; and their end. */
void reading_begin(void);
void reading_finish(void);

/* Reads a lesson given as text, under the course last read, if any. */
struct lesson *lesson_from(const char *text);
/* Reads a course file given as text. */
void course_from(const char *text);

/* Reads a lesson that must have no finding. */
struct lesson *good_lesson(const char *text);

/* Fails unless the list holds exactly this one finding, of this code and at this place. */
void assert_only(enum diag_code code, unsigned line, unsigned column);
/* Fails unless the list has no finding, and shows what it has. */
void assert_no_finding(void);
/* The finding at that index; fails where there is none. */
const struct diag *finding(size_t index);

/* Place (1, 1) of a text in no file, for the little languages. */
struct place start_place(void);

#endif
