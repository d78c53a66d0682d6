#ifndef RATAMARK_COURSE_OUTPUT_OWNERS_H
#define RATAMARK_COURSE_OUTPUT_OWNERS_H
/* Which lesson each place below OUT belongs to: no two lessons may write one file. */
#include <stdbool.h>
#include <stddef.h>

struct output_owners;

struct output_owners *output_owners_new(void);
void output_owners_free(struct output_owners *places);

/* Gives a place to a lesson where no other has it, and tells whose it is then. */
size_t output_owners_claim(struct output_owners *places, const char *place, size_t lesson);
/* Whether it belongs to any. */
bool output_owners_has(const struct output_owners *places, const char *place);

/* Whether two lessons could both have a file of this name: page 2 of "fill" and a lesson "fill-2";
   the picture of "fill" and a lesson "fill.line". */
bool output_may_clash(const char *place);

#endif
