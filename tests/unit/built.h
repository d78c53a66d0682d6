#ifndef RATAMARK_TESTS_BUILT_H
#define RATAMARK_TESTS_BUILT_H
/*
 * Lessons read and built for a test, and their scores told in a line of text:
 *
 *     8. 16 | _4 | 3:2( 8 8 8 ) | 2 ~8 8
 *
 * values with dots, `_` a rest, `~` a tie's continuation, `_bar` a rest that fills the bar, `|`
 * between beats, tuplets in brackets with their ratio.
 */
#include "build/build.h"
#include "check/check.h"

struct built {
    struct arena *arena;
    struct diags *diags;
    const struct lesson *lesson;
    struct score *score;
};

/* Reads and builds; findings are in `diags`. The test ends where nothing can be read. */
struct built built_any(const char *text);
/* The same, and the test ends at the first error. */
struct built built_right(const char *text);
void built_release(struct built *built);

/* Indices count from 0. Texts live as long as the lesson. */
const struct score_bar *built_bar(const struct built *built, size_t exercise, size_t bar);
/* Values only. */
const char *built_values(const struct built *built, size_t exercise, size_t bar, int line);
/* The strokes: "lR:snare> L:ride() B:snare+snare", `-` for no letter; `=`: the note's accent is not
   for this hit. */
const char *built_strokes(const struct built *built, size_t exercise, size_t bar, int line);
/* The counts, silent ones in brackets: "1 [e] & [a]". */
const char *built_counts(const struct built *built, size_t exercise, size_t bar);

/* Exactly one finding of this code stands in the list, at this place. Returns it. */
const struct diag *built_finding(const struct built *built, enum diag_code code, uint32_t line,
                                 uint32_t column);
/* How many findings of a code there are. */
size_t built_count(const struct built *built, enum diag_code code);

#endif
