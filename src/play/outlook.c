/* What limits an exercise, and what would after that (outlook.h). */
#include "play/outlook.h"

#include "play/play_int.h"

#include <stdlib.h>

static const struct swap NO_SWAP = {LIMB_RIGHT_HAND, VOICE_NONE};

static int compare_groups(const void *a, const void *b)
{
    const struct limit_group *x = a, *y = b;
    int order = ratio_compare(x->ticks, x->us, y->ticks, y->us);
    return order ? order : x->move.limb - y->move.limb;
}

/* What the other hand would bring: for a move, if it took the surface that the move goes to. */
static void find_easing(struct score *score, struct score_exercise *exercise,
                        const struct outlook *outlook, const struct move *move,
                        struct outlook_limit *limit)
{
    bool moves = move->kind == MOVE_TRAVEL || move->kind == MOVE_CROSS;
    if (!moves || move->limb > LIMB_LEFT_HAND || exercise->sequence)
        return;
    struct swap swap = {move->limb, move->to};
    struct verdict eased = play_limits(score, exercise, outlook->limits, swap, NULL);
    bool better = eased.kind == VERDICT_TEMPO && eased.max_tenths > outlook->own.tenths;
    if (!better)
        return;
    limit->eased = eased.max_tenths;
    limit->easing = arena_format(
        score->arena, "with the %s on the %s", score->lesson->kit.voices[move->to].spoken,
        limb_word(move->limb == LIMB_LEFT_HAND ? LIMB_RIGHT_HAND : LIMB_LEFT_HAND));
}

static void find_limits(struct score *score, struct score_exercise *exercise,
                        struct limit_groups *groups, int64_t quarter, struct outlook *outlook)
{
    qsort(groups->items, groups->count, sizeof *groups->items, compare_groups);
    for (size_t i = 0; i < groups->count && i < OUTLOOK_LIMITS; i++) {
        struct outlook_limit *limit = &outlook->limits_met[outlook->limit_count++];
        limit->words = words_move(score, &groups->items[i].move);
        limit->tenths = play_group_tenths(&groups->items[i], quarter);
        find_easing(score, exercise, outlook, &groups->items[i].move, limit);
    }
}

struct outlook play_outlook(struct score *score, struct score_exercise *exercise,
                            const struct limits *level)
{
    struct outlook outlook = {.limits = NULL};
    outlook.limits = level ? level : limits_or_usual(exercise->source->settings.limits);
    for (int i = 0; i < LEVEL_COUNT; i++) {
        struct verdict verdict =
            play_limits(score, exercise, limits_builtin((enum player_level)i), NO_SWAP, NULL);
        outlook.levels[i].kind = verdict.kind;
        outlook.levels[i].tenths = verdict.max_tenths;
    }
    struct limit_groups groups = {.count = 0};
    struct verdict own = play_limits(score, exercise, outlook.limits, NO_SWAP, &groups);
    outlook.own.kind = own.kind;
    outlook.own.tenths = own.max_tenths;
    if (own.kind == VERDICT_TEMPO)
        find_limits(score, exercise, &groups, own.quarter, &outlook);
    return outlook;
}
