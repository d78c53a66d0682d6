#ifndef RATAMARK_BUILD_CYCLE_H
#define RATAMARK_BUILD_CYCLE_H
/* After how many bars a repeated sticking lines up with beat 1 again. */
#include "model/score.h"

/*
 * A cycle of C strokes and empty slots over bars of S slots lines up again after lcm(C, S) / S
 * bars, which are lcm(C, S) / C times through. `bars` is how many are written, `loops` whether they
 * are repeated. C and S are at least 1; bars_to_line_up is 0 if the multiple does not fit into 64
 * bits.
 */
struct cycle cycle_make(uint32_t slots_in_cycle, uint32_t slots_in_bar, uint64_t bars, bool loops);

/* Whether the repeat starts with a different hand than the sticking would if it ran on. */
bool cycle_hand_changes(const struct stroke_line *sticking, const struct cycle *cycle,
                        uint64_t bars);

#endif
