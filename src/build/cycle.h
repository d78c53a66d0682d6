#ifndef RATAMARK_BUILD_CYCLE_H
#define RATAMARK_BUILD_CYCLE_H
/* When a sticking that goes round on a grid comes home to the bar line. */
#include "model/score.h"

/*
 * A cycle of C strokes and empty slots over bars of S slots comes home after lcm(C, S) / S bars and
 * lcm(C, S) / C rounds. `bars` are the bars written, `loops` whether they are repeated. C and S are
 * at least 1; bars_home is 0 where the multiple does not fit in 64 bits.
 */
struct cycle cycle_make(uint32_t slots_in_cycle, uint32_t slots_in_bar, uint64_t bars, bool loops);

/* Whether the first stroke after a loop is another hand's than it would be if the cycle ran on. */
bool cycle_hand_changes(const struct stroke_line *sticking, const struct cycle *cycle,
                        uint64_t bars);

#endif
