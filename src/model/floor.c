#include "model/floor.h"

#include <string.h>

static bool same_place(const struct voice *a, const struct voice *b)
{
    return a->x_cm == b->x_cm && a->y_cm == b->y_cm && a->z_cm == b->z_cm;
}

size_t floor_gather(const struct score *score, struct floor_surface *surfaces)
{
    const struct kit *kit = &score->lesson->kit;
    size_t count = 0;
    for (size_t i = 0; i < kit->voice_count; i++) {
        const struct voice *voice = &kit->voices[i];
        size_t at = 0;
        while (at < count && !same_place(surfaces[at].voices[0], voice))
            at++;
        if (!score->voices_used[i] || (at == count && count == FLOOR_SURFACES_MOST))
            continue;
        struct floor_surface *surface = &surfaces[at];
        if (at == count)
            surfaces[count++].count = 0;
        surface->voices[surface->count++] = voice;
        surface->x = kit->left_handed ? -voice->x_cm : voice->x_cm;
        surface->y = voice->y_cm;
        surface->pedal = voice->player != PLAYER_HANDS;
    }
    return count;
}

const char *floor_name(const struct floor_surface *surface)
{
    const struct voice *voice = surface->voices[0];
    return voice->spoken ? voice->spoken : voice->name;
}

bool floor_shown(const struct score *score)
{
    bool shown = false;
    for (size_t i = 0; i < score->lesson->kit.voice_count && !shown; i++)
        shown = score->voices_used[i];
    return shown && score->lesson->settings.show->plan;
}
