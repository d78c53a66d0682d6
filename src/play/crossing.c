/* Where the hands cross, and how near in time. */
#include "play/play_int.h"

enum { CROSS_CM = 5 };

/* The strong hand is left of the weak one, by places of a right-handed kit. One posture is too
   usual to count: the strong hand on the hi-hat, the weak one on the snare. */
static bool is_crossed(const struct judgement *judgement, voice_id strong, voice_id weak)
{
    const struct voice *a = voice_of(judgement, strong), *b = voice_of(judgement, weak);
    return a->x_cm + CROSS_CM < b->x_cm &&
           !(is_hat(judgement, strong) && same_surface(b, voice_of(judgement, VOICE_SNARE)));
}

bool hands_can_cross(const struct judgement *judgement)
{
    const struct reach *reach = judgement->reach;
    const uint64_t *voices = judgement->timeline->voices;
    for (size_t a = 0; a < reach->count; a++)
        for (size_t b = 0; b < reach->count && !reach->crowded; b++)
            if (voices[STRONG_HAND] >> a & 1 && voices[WEAK_HAND] >> b & 1 &&
                is_crossed(judgement, reach->used[a], reach->used[b]))
                return true;
    return reach->crowded;
}

int64_t hands_crossed_gap(const struct judgement *judgement, const struct blow *blow, size_t *near)
{
    bool strong = blow->role == STRONG_HAND;
    const blow_row *other = &judgement->timeline->limbs[strong ? WEAK_HAND : STRONG_HAND];
    while (*near < other->count && other->items[*near].tick <= blow->tick)
        ++*near;
    int64_t least = INT64_MAX;
    for (size_t i = *near ? *near - 1 : 0; i <= *near && i < other->count; i++) {
        voice_id voice = other->items[i].voice;
        int64_t gap = other->items[i].tick - blow->tick;
        gap = gap < 0 ? -gap : gap;
        if (gap < least && (strong ? is_crossed(judgement, blow->voice, voice)
                                   : is_crossed(judgement, voice, blow->voice)))
            least = gap;
    }
    return least;
}
