#ifndef RATAMARK_READ_NAMES_H
#define RATAMARK_READ_NAMES_H
/* Names that an author can use, each with a number. */
#include "base/table.h"
#include "base/vector.h"
#include "diag/diag.h"

struct name_number {
    uint32_t number, length;
};

/* `struct names names = {0};` is empty. Everything lives in the arena. */
struct names {
    struct table table;
    VECTOR(const char *) names;
    VECTOR(struct name_number) numbers; /* of each */
};

/* Adds a name, which must outlive the table, unless it is there already. */
void names_add(struct names *names, struct arena *arena, const char *name, uint32_t number);
/* Adds all names of another table, with their numbers. */
void names_join(struct names *names, const struct names *more, struct arena *arena);
/* The name as it was added; NULL if it is not there. */
const char *names_find(const struct names *names, const char *name, size_t length,
                       uint32_t *number);

/* The name nearest to a wrong one, or NULL. The first of `fixed` wins over an equally near name. */
const char *names_nearest(const struct names *names, struct arena *arena, const char *wrong,
                          const char *const *fixed, size_t fixed_count);
/* Completes the last finding with it, as diag_nearest_of() does. */
void names_suggest(struct diags *diags, const struct names *names, struct arena *arena,
                   const char *wrong, const char *const *fixed, size_t fixed_count);

#endif
