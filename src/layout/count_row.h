#ifndef RATAMARK_LAYOUT_COUNT_ROW_H
#define RATAMARK_LAYOUT_COUNT_ROW_H
/* How the syllables of the counts are set. */
#include "layout/labels.h"
#include "layout/layout.h"
#include "model/score.h"

/* A silent count stands in brackets. `tight`: in the condensed cut. */
struct short_label count_label(const struct layout *layout, const struct count *count, bool tight);

/* count_cut.c: chooses the cut of the counts of lines [first, end), which are all that an exercise
 * has. */
struct music_line;
void counts_choose(struct layout *layout, struct music_line *first, struct music_line *end);

#endif
