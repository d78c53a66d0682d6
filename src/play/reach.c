/* The time that a limb needs from one surface to another. */
#include "play/reach.h"

#include "play/play_int.h"

#include <math.h>
#include <string.h>

/* Fitts's line over the 1 oz rows of his table, ID = log2(2A/W): MacKenzie, Human-Computer
   Interaction 7(1), 1992. The largest residual on rows of 2 to 6 bits is 37 ms. */
static const double HAND_BASE_MS = 12.8, HAND_BIT_MS = 94.7;
/* Foot to pedal, ID = log2(A/W + 0.5): Drury, Human Factors 17, 1975, as quoted there. */
static const double FOOT_BASE_MS = 187, FOOT_BIT_MS = 85;

static const uint8_t role_of[2][LIMB_COUNT + 2] = {
    {STRONG_HAND, WEAK_HAND, BASS_FOOT, HAT_FOOT, EITHER_HAND, EITHER_HAND},
    {WEAK_HAND, STRONG_HAND, HAT_FOOT, BASS_FOOT, EITHER_HAND, EITHER_HAND}};

uint8_t role_of_limb(uint8_t limb, bool left_handed)
{
    return role_of[left_handed][limb];
}

uint8_t limb_of_role(uint8_t role, bool left_handed)
{
    return role == EITHER_HAND ? LIMB_HAND : role_of[left_handed][role];
}

static double distance_cm(const struct voice *a, const struct voice *b)
{
    double x = a->x_cm - b->x_cm, y = a->y_cm - b->y_cm, z = a->z_cm - b->z_cm;
    return sqrt(x * x + y * y + z * z);
}

int32_t reach_distance_mm(const struct voice *a, const struct voice *b)
{
    return (int32_t)lround(distance_cm(a, b) * 10);
}

double reach_hand_ms(double distance, double width)
{
    double bits = log2(2 * distance / width);
    return HAND_BASE_MS + HAND_BIT_MS * (bits > 0 ? bits : 0);
}

double reach_foot_ms(double distance, double width)
{
    return FOOT_BASE_MS + FOOT_BIT_MS * log2(distance / width + 0.5);
}

static double width_of(const struct voice *voice)
{
    int width = voice_width_cm(voice);
    return width > 0 ? width : 1;
}

static void fill_pair(struct reach *reach, const struct voice *from, const struct voice *to,
                      size_t where)
{
    reach->crossed[where] = is_arm_in_the_way(from, to);
    reach->crossing |= reach->crossed[where];
    if (same_surface(from, to))
        return;
    double away = distance_cm(from, to), width = width_of(to);
    double share = reach->limits->values[LIMIT_REACH] / 100.0;
    reach->hand_us[where] = (int32_t)(reach_hand_ms(away, width) * share * 1000);
    reach->foot_us[where] = (int32_t)(reach_foot_ms(away, width) * 1000);
}

void reach_make(struct reach *reach, const struct score *score, const struct limits *limits,
                struct arena *arena)
{
    const struct kit *kit = &score->lesson->kit;
    *reach = (struct reach){.kit = kit, .limits = limits};
    reach->used = arena_array(arena, kit->voice_count, sizeof *reach->used);
    reach->index = arena_array(arena, kit->voice_count, sizeof *reach->index);
    for (size_t i = 0; i < kit->voice_count; i++)
        if (score->voices_used[i]) {
            reach->index[i] = (uint8_t)reach->count;
            reach->used[reach->count++] = (voice_id)i;
        }
    reach->crowded = reach->count > 64;
    reach->hand_us = arena_array(arena, reach->count * reach->count, sizeof *reach->hand_us);
    reach->foot_us = arena_array(arena, reach->count * reach->count, sizeof *reach->foot_us);
    reach->crossed = arena_array(arena, reach->count * reach->count, sizeof *reach->crossed);
    for (size_t from = 0; from < reach->count; from++)
        for (size_t to = 0; to < reach->count; to++)
            if (from != to)
                fill_pair(reach, &kit->voices[reach->used[from]], &kit->voices[reach->used[to]],
                          from * reach->count + to);
}
