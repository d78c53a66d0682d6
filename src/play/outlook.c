/* What limits an exercise, and what would after that (outlook.h). */
#include "play/outlook.h"

#include "play/play_int.h"

#include <stdlib.h>

static const struct change NO_CHANGE = {.kind = CHANGE_NOTHING};

static int compare_groups(const void *a, const void *b)
{
    const struct limit_group *x = a, *y = b;
    int order = ratio_compare(x->ticks, x->us, y->ticks, y->us);
    return order ? order : x->move.limb - y->move.limb;
}

/* ---- what would help ------------------------------------------------------------------------ */

/* The tempo of the whole exercise after a change; 0: it is no faster. */
static uint32_t tempo_after(struct score *score, struct score_exercise *exercise,
                            const struct outlook *outlook, struct change change)
{
    struct verdict eased = play_limits(score, exercise, outlook->limits, change, NULL);
    bool faster = eased.kind == VERDICT_TEMPO && eased.max_tenths > outlook->own.tenths;
    return faster ? eased.max_tenths : 0;
}

static bool moves(const struct move *move)
{
    return move->kind == MOVE_TRAVEL || move->kind == MOVE_CROSS;
}

/* The other hand: for a move the strokes on the surface that it goes to, else every second one. */
static struct easing ease_by_hand(struct score *score, struct score_exercise *exercise,
                                  const struct outlook *outlook, const struct move *move)
{
    const char *voice = score->lesson->kit.voices[move->to].spoken;
    const char *other = limb_word(move->limb == LIMB_LEFT_HAND ? LIMB_RIGHT_HAND : LIMB_LEFT_HAND);
    struct change change = {.kind = moves(move) ? CHANGE_HAND : CHANGE_TURNS,
                            .limb = move->limb,
                            .voice = move->to,
                            .instead = VOICE_NONE};
    const char *words = moves(move)
                            ? arena_format(score->arena, "with the %s on the %s", voice, other)
                            : arena_format(score->arena, "with the %s hand to hand", voice);
    return (struct easing){words, tempo_after(score, exercise, outlook, change)};
}

/* Drums for drums, and what hangs above them for what hangs above them; of the lesson's own. */
static bool can_replace(const struct score *score, const struct move *move, voice_id voice)
{
    enum { ABOVE_DRUMS_CM = 20 };
    const struct voice *voices = score->lesson->kit.voices, *instead = &voices[voice];
    const struct voice *from = &voices[move->from], *to = &voices[move->to];
    return score->voices_used[voice] && instead->player == PLAYER_HANDS &&
           !same_surface(instead, from) && !same_surface(instead, to) &&
           (instead->z_cm >= ABOVE_DRUMS_CM) == (to->z_cm >= ABOVE_DRUMS_CM);
}

/* Another surface that the lesson has, of those with the fastest one. */
static struct easing ease_by_surface(struct score *score, struct score_exercise *exercise,
                                     const struct outlook *outlook, const struct move *move)
{
    const struct kit *kit = &score->lesson->kit;
    struct easing best = {NULL, 0};
    for (size_t i = 0; moves(move) && i < kit->voice_count; i++) {
        struct change change = {CHANGE_VOICE, move->limb, move->to, (voice_id)i};
        uint32_t tenths = can_replace(score, move, change.instead)
                              ? tempo_after(score, exercise, outlook, change)
                              : 0;
        if (tenths <= best.tenths)
            continue;
        best.tenths = tenths;
        best.words = arena_format(score->arena, "with the %s's %s on the %s", limb_word(move->limb),
                                  kit->voices[move->to].spoken, kit->voices[i].spoken);
    }
    return best;
}

static void find_easings(struct score *score, struct score_exercise *exercise,
                         const struct outlook *outlook, const struct move *move,
                         struct outlook_limit *limit)
{
    if (move->limb > LIMB_LEFT_HAND || exercise->sequence)
        return;
    if (!words_of_rudiment(exercise))
        limit->by_hand = ease_by_hand(score, exercise, outlook, move);
    limit->by_surface = ease_by_surface(score, exercise, outlook, move);
}

/* ---- limits --------------------------------------------------------------------------------- */

static void find_limits(struct score *score, struct score_exercise *exercise,
                        struct limit_groups *groups, int64_t quarter, struct outlook *outlook)
{
    qsort(groups->items, groups->count, sizeof *groups->items, compare_groups);
    for (size_t i = 0; i < groups->count && i < OUTLOOK_LIMITS; i++) {
        struct outlook_limit *limit = &outlook->limits_met[outlook->limit_count++];
        limit->words = words_move(score, &groups->items[i].move);
        limit->tenths = play_group_tenths(&groups->items[i], quarter);
        find_easings(score, exercise, outlook, &groups->items[i].move, limit);
    }
}

struct outlook play_outlook(struct score *score, struct score_exercise *exercise,
                            const struct limits *level)
{
    struct outlook outlook = {.limits = NULL};
    outlook.limits = level ? level : limits_or_usual(exercise->source->settings.limits);
    for (int i = 0; i < LEVEL_COUNT; i++) {
        struct verdict verdict =
            play_limits(score, exercise, limits_builtin((enum player_level)i), NO_CHANGE, NULL);
        outlook.levels[i].kind = verdict.kind;
        outlook.levels[i].tenths = verdict.max_tenths;
    }
    struct limit_groups groups = {.count = 0};
    struct verdict own = play_limits(score, exercise, outlook.limits, NO_CHANGE, &groups);
    outlook.own.kind = own.kind;
    outlook.own.tenths = own.max_tenths;
    if (own.kind == VERDICT_TEMPO)
        find_limits(score, exercise, &groups, own.quarter, &outlook);
    return outlook;
}
