#ifndef RATAMARK_APP_PLAN_H
#define RATAMARK_APP_PLAN_H
/* The kit from above, for the terminal: every surface that a lesson strikes where it stands. */
#include "base/buffer.h"
#include "model/score.h"

void plan_draw(const struct score *score, struct buffer *out);

#endif
