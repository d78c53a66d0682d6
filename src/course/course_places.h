#ifndef RATAMARK_COURSE_COURSE_PLACES_H
#define RATAMARK_COURSE_COURSE_PLACES_H
/* Which lesson each place below OUT belongs to: no two lessons may write one file. */
#include <stdbool.h>
#include <stddef.h>

struct course_places;

struct course_places *course_places_new(void);
void course_places_free(struct course_places *places);

/* Gives a place to a lesson where no other has it, and tells whose it is then. */
size_t course_places_claim(struct course_places *places, const char *place, size_t lesson);
/* Whether it belongs to any. */
bool course_places_has(const struct course_places *places, const char *place);

#endif
