/* Strokes at once that no tempo makes possible. */
#include "play/play_int.h"

static void judge_at_once(struct judgement *judgement, const struct blow *const *now, size_t count)
{
    const int32_t small = judgement->reach->limits->values[LIMIT_SMALL];
    bool held = judgement->reach->kit->hats_held;
    for (size_t i = 1; i < count; i++)
        for (size_t k = 0; k < i; k++) {
            const struct blow *a = now[k], *b = now[i];
            bool hands = b->role <= WEAK_HAND && a->role != b->role;
            bool main = !(a->flags & BLOW_GRACE) && !(b->flags & BLOW_GRACE);
            if (hands && main && a->note == b->note && b->note->grace_count)
                judgement_add_conflict(judgement, FAULT_GRACED, a, b);
            else if (hands && main && !is_travel(judgement->reach, a, b) &&
                     voice_width_cm(voice_of(judgement, b->voice)) < small)
                judgement_add_conflict(judgement, FAULT_SMALL, a, b);
            else if (b->role == HAT_FOOT && !held && closes_hats(judgement, a) &&
                     !is_hat_pedal(judgement, b->voice))
                judgement_add_conflict(judgement, FAULT_PEDAL, a, b);
        }
}

bool conflicts_possible(const struct judgement *judgement)
{
    const struct timeline *timeline = judgement->timeline;
    const struct reach *reach = judgement->reach;
    if (timeline->suspect || reach->crowded)
        return true;
    for (size_t i = 0; i < reach->count; i++) {
        const uint64_t *voices = timeline->voices;
        uint64_t bit = (uint64_t)1 << i;
        bool both = voices[STRONG_HAND] & voices[WEAK_HAND] & bit;
        if (both && voice_width_cm(voice_of(judgement, reach->used[i])) <
                        reach->limits->values[LIMIT_SMALL])
            return true;
        if ((voices[HAT_FOOT] & bit) && !is_hat_pedal(judgement, reach->used[i]))
            return true;
    }
    return false;
}

void conflicts_find(struct judgement *judgement)
{
    enum { AT_ONCE_MOST = 16 };
    size_t at[PLAYING_LIMBS] = {0}, count = 0;
    const struct blow *now[AT_ONCE_MOST], *blow;
    while ((blow = next_blow(judgement->timeline, at))) {
        if (count && now[0]->tick != blow->tick) {
            judge_at_once(judgement, now, count);
            count = 0;
        }
        if (count < AT_ONCE_MOST)
            now[count++] = blow;
    }
    judge_at_once(judgement, now, count);
}
