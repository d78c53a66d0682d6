#ifndef RATAMARK_PLAY_HANDS_INT_H
#define RATAMARK_PLAY_HANDS_INT_H
/* What choosing hands (hands.c) and adding up what was chosen (hand_sums.c) share: the load of a
   way from event to event, and what is known of both hands before each. */
#include "play/hands.h"
#include "play/play_int.h"

/* ---- loads -------------------------------------------------------------------------------- */

enum { LOAD_MOST = 1 << 21 };

struct chooser {
    const struct hand_row *row;
    const struct plan *plan;
    enum stick_style style;
    int32_t burst[2];  /* of the leading hand and the other */
    int32_t load_most; /* no more than this */
};

static inline int32_t takes_us(const struct chooser *chooser, unsigned hand, voice_id from,
                               voice_id to)
{
    const struct plan *plan = chooser->plan;
    int32_t move = plan->hand_us[plan->index[from] * plan->count + plan->index[to]];
    return move > chooser->burst[hand] ? move : chooser->burst[hand];
}

/* Time taken over time there is, in half microseconds a quarter. */
static inline int32_t load_of(const struct chooser *chooser, int64_t takes, int64_t ticks)
{
    int64_t load = ticks > 0 ? takes * chooser->row->quarter / ticks / 2 : LOAD_MOST;
    return load < LOAD_MOST ? (int32_t)load : LOAD_MOST;
}

static inline int64_t distance_mm(const struct chooser *chooser, voice_id from, voice_id to)
{
    const struct voice *voices = chooser->plan->kit->voices;
    return plan_distance_mm(&voices[from], &voices[to]);
}

static inline struct chooser chooser_of(const struct hand_row *row, const struct plan *plan,
                                        enum stick_style style)
{
    bool strong_leads = row->left_leads == plan->kit->left_handed;
    const int32_t *values = plan->limits->values;
    int32_t weak = (int32_t)((int64_t)values[LIMIT_HAND_BURST] * values[LIMIT_WEAK_HAND] / 100);
    return (struct chooser){.row = row,
                            .plan = plan,
                            .style = style,
                            .burst = {strong_leads ? values[LIMIT_HAND_BURST] : weak,
                                      strong_leads ? weak : values[LIMIT_HAND_BURST]},
                            .load_most = LOAD_MOST};
}

/* ---- states ------------------------------------------------------------------------------- */

/*
 * What is known before an event: who struck the one before, and how many events ago the other hand
 * struck last (0: at the same time; GAP_FAR: not within reach). Of an event of both hands that is
 * the last of one of them, which hand had which voice.
 */
struct state {
    uint8_t hand; /* 0 the leading one, 1 the other */
    uint8_t gap;
    bool turned; /* of the other hand's event, or of the one of both */
};

enum { GAP_FAR = HANDS_BACK + 1, STATES = 2 * (GAP_FAR + 1) * 2 };

/* Before the first event; after one of both the leading hand counts as the one that struck. */
static const struct state START = {.hand = 1, .gap = 0};

static inline bool is_start(struct state state)
{
    return state.hand == START.hand && state.gap == START.gap;
}

static inline unsigned state_number(struct state state)
{
    return (state.hand * (GAP_FAR + 1u) + state.gap) * 2u + state.turned;
}

/* `turned`: the choice for an event of both hands, or the one hand of another. */
static inline struct state state_after(struct state state, int hands, bool turned)
{
    if (hands == 2)
        return (struct state){0, 0, turned};
    uint8_t hand = turned;
    if (is_start(state))
        return (struct state){hand, GAP_FAR, false};
    if (state.gap == 0) /* the last event was of both */
        return (struct state){hand, 1, state.turned};
    if (hand != state.hand)
        return (struct state){hand, 1, false};
    uint8_t gap = (uint8_t)(state.gap < GAP_FAR ? state.gap + 1 : GAP_FAR);
    return (struct state){hand, gap, gap < GAP_FAR && state.turned};
}

/* Whether a hand alone struck the last event, too. */
static inline bool is_again(struct state state, unsigned hand)
{
    return state.gap > 0 && state.hand == hand;
}

/* How a hand comes to an event: how many events ago its last one was (GAP_FAR: out of reach), and
   whether that one, of both hands, was turned. */
struct way {
    uint8_t back;
    bool turned;
};

static inline struct way way_of(struct state state, unsigned hand)
{
    if (is_again(state, hand))
        return (struct way){1, false};
    if (is_start(state) || state.gap >= HANDS_BACK)
        return (struct way){GAP_FAR, false};
    return (struct way){(uint8_t)(state.gap + 1), state.turned};
}

static inline voice_id voice_at(const struct hand_event *event, unsigned hand, bool turned)
{
    return event->voices[event->count == 2 && (hand == 1) != turned];
}

#endif
