/* What a limb needs from one stroke to a later one. */
#include "play/play_int.h"

static int32_t share(int32_t us, int32_t percent)
{
    return (int32_t)((int64_t)us * percent / 100);
}

struct needs limb_needs(const struct reach *reach, uint8_t role)
{
    const int32_t *values = reach->limits->values;
    int32_t weak = role == WEAK_HAND ? values[LIMIT_WEAK_HAND] : 100;
    struct needs needs = {.strokes = values[LIMIT_STROKES], .bounces = 1};
    if (role <= WEAK_HAND) {
        needs.burst = share(values[LIMIT_HAND_BURST], weak);
        needs.sustained = share(values[LIMIT_HAND_SUSTAINED], weak);
        needs.rebound = share(values[LIMIT_BOUNCE], weak);
        needs.bounces = values[LIMIT_BOUNCES];
        needs.prepare = values[LIMIT_PREPARE];
        needs.moves = reach->hand_us;
    } else if (role == BASS_FOOT) {
        needs.burst = values[LIMIT_FOOT_BURST];
        needs.sustained = values[LIMIT_FOOT_SUSTAINED];
        needs.rebound = values[LIMIT_HEEL_TOE];
        needs.bounces = 2;
        needs.moves = reach->foot_us;
    } else {
        needs.burst = values[LIMIT_HAT_FOOT_BURST];
        needs.sustained = values[LIMIT_HAT_FOOT_SUSTAINED];
        needs.moves = reach->foot_us;
    }
    if (needs.rebound >= needs.burst)
        needs.bounces = 1; /* a rebound that is no quicker is a stroke like any other */
    int64_t steps = needs.strokes - 2;
    for (int w = 3; w <= needs.strokes; w++) {
        int64_t each = needs.burst * steps + (int64_t)(needs.sustained - needs.burst) * (w - 2);
        needs.rows[w] = (int32_t)((w - 1) * each / steps);
    }
    return needs;
}

struct stretch stretch_between(const struct reach *reach, const struct needs *needs,
                               const struct blow *from, const struct blow *to, bool rebound)
{
    struct stretch stretch = {.from = from,
                              .to = to,
                              .kind = MOVE_REPEAT,
                              .role = to->role,
                              .strokes = 2,
                              .ticks = to->tick - from->tick,
                              .takes_us = needs->burst};
    int32_t move = needs->moves[reach->index[from->voice] * reach->count + reach->index[to->voice]];
    if (rebound) {
        stretch.kind = MOVE_BOUNCE;
        stretch.takes_us = needs->rebound;
    } else if (move) {
        stretch.kind = MOVE_TRAVEL;
        stretch.takes_us = move > needs->burst ? move : needs->burst;
    }
    if ((from->flags & BLOW_GHOST) && (to->flags & BLOW_ACCENT))
        stretch.takes_us += needs->prepare;
    return stretch;
}
