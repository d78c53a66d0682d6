/* Strokes at once that no tempo makes possible; and what opens and closes the hi-hat. */
#include "play/play_int.h"

/* The hats' own foot: a pedal below them. */
static bool is_hat_pedal(const struct judgement *judgement, voice_id voice)
{
    const struct voice *pedal = voice_of(judgement, voice);
    const struct voice *hat = voice_of(judgement, VOICE_HI_HAT);
    return pedal->x_cm == hat->x_cm && pedal->y_cm == hat->y_cm;
}

/* A splash of the foot lets the hats ring. */
bool closes_hats(const struct judgement *judgement, const struct blow *blow)
{
    if (blow->role == ROLE_HAT_FOOT)
        return is_hat_pedal(judgement, blow->voice) && blow->voice != VOICE_FOOT_SPLASH;
    return is_hat(judgement, blow->voice) && !(blow->flags & BLOW_OPEN_HAT);
}

bool opens_hats(const struct judgement *judgement, const struct blow *blow)
{
    return blow->role <= ROLE_WEAK_HAND && is_hat(judgement, blow->voice) &&
           (blow->flags & BLOW_OPEN_HAT);
}

/* The next blow of both hands and the hat foot, in order of time, hands first. */
const struct blow *next_blow(const struct timeline *timeline, size_t at[ROLE_COUNT])
{
    static const uint8_t roles[] = {ROLE_STRONG_HAND, ROLE_WEAK_HAND, ROLE_HAT_FOOT};
    const struct blow *first = NULL;
    for (size_t i = 0; i < 3; i++) {
        const struct blows *row = &timeline->limbs[roles[i]];
        if (at[roles[i]] < row->count && (!first || row->items[at[roles[i]]].tick < first->tick))
            first = &row->items[at[roles[i]]];
    }
    if (first)
        at[first->role]++;
    return first;
}

static void judge_at_once(struct judgement *judgement, const struct blow *const *now, size_t count)
{
    const int32_t small = judgement->plan->limits->values[LIMIT_SMALL];
    bool held = judgement->plan->kit->hats_held;
    for (size_t i = 1; i < count; i++)
        for (size_t k = 0; k < i; k++) {
            const struct blow *a = now[k], *b = now[i];
            bool hands = b->role <= ROLE_WEAK_HAND && a->role != b->role;
            bool main = !(a->flags & BLOW_GRACE) && !(b->flags & BLOW_GRACE);
            if (hands && main && a->note == b->note && b->note->grace_count)
                judge_conflict(judgement, FAULT_GRACED, a, b);
            else if (hands && main && !is_travel(judgement, a, b) &&
                     voice_width_cm(voice_of(judgement, b->voice)) < small)
                judge_conflict(judgement, FAULT_SMALL, a, b);
            else if (b->role == ROLE_HAT_FOOT && opens_hats(judgement, a) &&
                     closes_hats(judgement, b))
                judge_conflict(judgement, FAULT_OPEN_FOOT, a, b);
            else if (b->role == ROLE_HAT_FOOT && !held && closes_hats(judgement, a) &&
                     !is_hat_pedal(judgement, b->voice))
                judge_conflict(judgement, FAULT_PEDAL, a, b);
        }
}

/* Whether any two blows at once can be in each other's way, by the voices that are used. */
bool conflicts_possible(const struct judgement *judgement)
{
    const struct timeline *timeline = judgement->timeline;
    const struct plan *plan = judgement->plan;
    if (timeline->suspect || plan->crowded || timeline->open_hats)
        return true;
    for (size_t i = 0; i < plan->count; i++) {
        const uint64_t *voices = timeline->voices;
        uint64_t bit = (uint64_t)1 << i;
        bool both = voices[ROLE_STRONG_HAND] & voices[ROLE_WEAK_HAND] & bit;
        if (both &&
            voice_width_cm(voice_of(judgement, plan->used[i])) < plan->limits->values[LIMIT_SMALL])
            return true;
        if ((voices[ROLE_HAT_FOOT] & bit) && !is_hat_pedal(judgement, plan->used[i]))
            return true;
    }
    return false;
}

void conflicts_find(struct judgement *judgement)
{
    enum { AT_ONCE_MOST = 16 };
    size_t at[ROLE_COUNT] = {0}, count = 0;
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
