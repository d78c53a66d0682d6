#ifndef RATAMARK_VARY_VARIATIONS_H
#define RATAMARK_VARY_VARIATIONS_H
/* The variations that `vary` allows: how many there are, and why if there are none. */
#include "diag/diag.h"
#include "vary/space.h"

/* Reports for each exercise with `vary` how many variations it has, as a note. */
void vary_check(const struct score *score, struct diags *diags);

/* Whether an exercise can vary: it has `vary`, and is not the second printing of another one. */
bool vary_is_here(const struct score_exercise *exercise);
/* Why a space has no variation, or cannot be counted: the message, what would do, and the place.
   False if neither is so. */
struct vary_fault {
    enum diag_code code;
    const char *message, *expected;
    struct place at;
};
bool vary_fault_of(struct space *space, struct vary_fault *fault);

/* Adds a line with the name and version of the library for large numbers. */
struct buffer;
void vary_add_versions(struct buffer *out);

#endif
