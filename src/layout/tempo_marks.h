#ifndef RATAMARK_LAYOUT_TEMPO_MARKS_H
#define RATAMARK_LAYOUT_TEMPO_MARKS_H
/* The tempo of an exercise: swing, the beat as a note, and its beats a minute. */
#include "layout/layout.h"

sp tempo_width(const struct layout *layout, const struct score_exercise *exercise);
/* Its right end is at x, on the baseline. */
void tempo_draw(struct layout *layout, const struct score_exercise *exercise, sp x, sp y);

#endif
