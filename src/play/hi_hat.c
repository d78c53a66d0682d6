/* The strokes that open and close the hi-hat. */
#include "play/play_int.h"

bool is_hat_pedal(const struct judgement *judgement, voice_id voice)
{
    const struct voice *pedal = voice_of(judgement, voice);
    const struct voice *hat = voice_of(judgement, VOICE_HI_HAT);
    return pedal->x_cm == hat->x_cm && pedal->y_cm == hat->y_cm;
}

bool closes_hats(const struct judgement *judgement, const struct blow *blow)
{
    if (blow->role == HAT_FOOT)
        return is_hat_pedal(judgement, blow->voice) && blow->voice != VOICE_FOOT_SPLASH;
    return is_hat(judgement, blow->voice) && !(blow->flags & BLOW_OPEN_HAT);
}

bool opens_hats(const struct judgement *judgement, const struct blow *blow)
{
    return blow->role <= WEAK_HAND && is_hat(judgement, blow->voice) &&
           (blow->flags & BLOW_OPEN_HAT);
}

const struct blow *next_blow(const struct timeline *timeline, size_t at[PLAYING_LIMBS])
{
    static const uint8_t roles[] = {STRONG_HAND, WEAK_HAND, HAT_FOOT};
    const struct blow *first = NULL;
    for (size_t i = 0; i < 3; i++) {
        const blow_row *row = &timeline->limbs[roles[i]];
        if (at[roles[i]] < row->count && (!first || row->items[at[roles[i]]].tick < first->tick))
            first = &row->items[at[roles[i]]];
    }
    if (first)
        at[first->role]++;
    return first;
}
