#ifndef RATAMARK_COURSE_OUTPUT_OWNERS_H
#define RATAMARK_COURSE_OUTPUT_OWNERS_H
/* Which lesson owns each output: no two lessons may write the same file. */
#include <stdbool.h>
#include <stddef.h>

struct output_owners;

struct output_owners *output_owners_new(void);
/* NULL is allowed. */
void output_owners_free(struct output_owners *owners);

/* Gives the output to this lesson unless another owns it; returns the owner. `path` is its path
   below OUT. */
size_t output_owners_claim(struct output_owners *owners, const char *path, size_t lesson);
/* Whether any lesson owns it. */
bool output_owners_has(const struct output_owners *owners, const char *path);

/* Whether two lessons could both have an output of this name: page 2 of "fill" and a lesson
   "fill-2"; the picture of "fill" and a lesson "fill.line". */
bool output_may_clash(const char *path);

#endif
