#ifndef RATAMARK_TESTS_SHOWN_PAGE_H
#define RATAMARK_TESTS_SHOWN_PAGE_H
/* A small lesson, set with plain metrics, and what stands on its first page. */
#include "set_lesson.h"

extern struct set_lesson set;
extern const struct page *page;

/* Sets a lesson, which must live as long as the page; any error of it fails the test. */
void open_lesson(const char *text);
/* One exercise with these lines under it. */
void open_exercise(const char *lines);
void teardown(void);

size_t count_of(enum mark_role role);
size_t count_glyph(enum glyph glyph);
/* The mark of this role after `skip` others; none fails the test. */
const struct mark *mark_of(enum mark_role role, size_t skip);
const char *label_of(const struct mark *mark);
/* The texts of a role's labels, a space between; until the next call. */
const char *texts_of(enum mark_role role);

#endif
