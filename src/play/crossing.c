/* Where the hands cross, and how near in time. */
#include "play/play_int.h"

bool is_arm_in_the_way(const struct voice *strong, const struct voice *weak)
{
    enum { BESIDE_CM = 5, ABOVE_CM = 5, OVER_CM = 45, CLEAR_CM = 25 };
    int across = weak->x_cm - strong->x_cm, height = abs(strong->z_cm - weak->z_cm);
    bool passes_over = height >= CLEAR_CM || (height >= ABOVE_CM && across <= OVER_CM);
    return across > BESIDE_CM && !passes_over;
}

bool hands_can_cross(const struct judgement *judgement)
{
    const struct reach *reach = judgement->reach;
    const uint64_t *voices = judgement->timeline->voices;
    for (size_t a = 0; a < reach->count; a++)
        for (size_t b = 0; b < reach->count && !reach->crowded; b++)
            if (voices[STRONG_HAND] >> a & 1 && voices[WEAK_HAND] >> b & 1 &&
                reach_crosses(reach, reach->used[a], reach->used[b]))
                return true;
    return reach->crowded;
}

int64_t hands_crossed_gap(const struct judgement *judgement, const struct blow *blow, size_t *near)
{
    bool strong = blow->role == STRONG_HAND;
    const blow_row *other = &judgement->timeline->limbs[strong ? WEAK_HAND : STRONG_HAND];
    while (*near < other->count && other->items[*near].tick <= blow->tick)
        ++*near;
    if (*near == 0)
        return INT64_MAX;
    const struct blow *last = &other->items[*near - 1];
    bool crossed = strong ? reach_crosses(judgement->reach, blow->voice, last->voice)
                          : reach_crosses(judgement->reach, last->voice, blow->voice);
    return crossed ? blow->tick - last->tick : INT64_MAX;
}
