#include "build/cycle.h"

struct cycle cycle_make(uint32_t slots_in_cycle, uint32_t slots_in_bar, uint64_t bars, bool loops)
{
    struct cycle cycle = {
        .slots_in_cycle = slots_in_cycle, .slots_in_bar = slots_in_bar, .loops = loops};
    int64_t common = least_common_multiple(slots_in_cycle, slots_in_bar);
    if (common == 0)
        return cycle;
    cycle.bars_to_line_up = (uint64_t)common / slots_in_bar;
    cycle.rotations = (uint64_t)common / slots_in_cycle;
    cycle.lines_up = bars % cycle.bars_to_line_up == 0;
    return cycle;
}

bool cycle_hand_changes(const struct stroke_line *sticking, const struct cycle *cycle,
                        uint64_t bars)
{
    uint64_t ahead = (bars % cycle->bars_to_line_up) * cycle->slots_in_bar;
    for (size_t i = 0; i < sticking->count; i++) {
        uint8_t first = sticking->strokes[i].hand;
        if (first == HAND_NONE)
            continue;
        return sticking->strokes[(i + ahead) % sticking->count].hand != first;
    }
    return false;
}
