#ifndef RATAMARK_TESTS_HEARD_H
#define RATAMARK_TESTS_HEARD_H
/*
 * What a listener makes of a reading (src/spoken): the words of an exercise are taken apart again
 * into what is struck when, by whom, on what, how. Of the lesson the listener knows what a drummer
 * knows: the beats of each bar's meter, how subdivisions divide them, the syllables of the counting
 * and the names of the voices. Written without a look at how the words are made.
 */
#include "base/arena.h"
#include "model/score.h"

/* One text a bar: events in the order of time, one a line. The test fails where the words cannot be
   understood; `where` is then told. */
const char **heard_bars(struct arena *arena, const struct score *score,
                        const struct score_exercise *exercise, const char *words,
                        const char *where);

/* The same text from the tree itself. */
const char *heard_expected(struct arena *arena, const struct score *score,
                           const struct score_bar *bar);

#endif
