#ifndef RATAMARK_CHART_KIT_CHART_H
#define RATAMARK_CHART_KIT_CHART_H
/* The kit from above, for the terminal: every surface that a lesson strikes where it stands. */
#include "base/buffer.h"
#include "model/score.h"

void kit_chart_draw(const struct score *score, struct buffer *out);

#endif
