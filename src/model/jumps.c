#include "model/jumps.h"

struct jumps jumps_of(const struct score_exercise *exercise)
{
    struct jumps jumps = {NO_BAR, NO_BAR, NO_BAR, NO_BAR, NO_BAR};
    for (uint32_t b = 0; b < exercise->bar_count; b++) {
        const struct bar_signs *signs = exercise->bars[b].signs;
        if (!signs)
            continue;
        jumps.segno = signs->segno.file ? b : jumps.segno;
        jumps.coda = signs->coda.file ? b : jumps.coda;
        jumps.fine = signs->fine.file ? b : jumps.fine;
        jumps.to_coda = signs->to_coda.file ? b : jumps.to_coda;
        jumps.jump = signs->jump.words ? b : jumps.jump;
    }
    return jumps;
}
