#ifndef RATAMARK_CHART_KIT_CHART_H
#define RATAMARK_CHART_KIT_CHART_H
/* The kit seen from above, for the terminal: every surface that the lesson uses, in its place. */
#include "base/buffer.h"
#include "model/score.h"

void kit_chart_draw(const struct score *score, struct buffer *out);

#endif
