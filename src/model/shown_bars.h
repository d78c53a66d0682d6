#ifndef RATAMARK_MODEL_SHOWN_BARS_H
#define RATAMARK_MODEL_SHOWN_BARS_H
/*
 * The bars of an exercise as the page shows them: signs in place of notes. `same: 1`, the two bars
 * of `same: 2` and the bars of `rest: 4` are one bar here; and with `show: {bars: same}` a bar that
 * is the same as the one before is a sign as well. A bar with slashes has one for each beat.
 *
 *     | groove |  %  | fill |  -4-  |
 *
 * For sound, and for what is said of the music, the score has all bars with their notes.
 */
#include "model/score.h"

/* What stands for bars that are the same as those before: a sign, or their notes. A line of music
   begins with notes, so layout needs both. */
enum shown_repeats { SHOWN_AS_SIGNS, SHOWN_IN_NOTES };

/* The exercise itself if it has no such bars; else a copy in the arena. */
const struct score_exercise *shown_bars(const struct score_exercise *exercise,
                                        enum shown_repeats repeats, struct arena *arena);

/* Makes a bar a sign of this length: for layout, a rest that fills it. */
void bar_become_sign(struct score_bar *bar, struct fraction length, struct arena *arena);

#endif
