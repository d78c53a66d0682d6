#ifndef RATAMARK_PLAY_HANDS_INT_H
#define RATAMARK_PLAY_HANDS_INT_H
/* What the ways of choosing hands share: the load of a stroke, when each hand struck last, and what
   habits cost. */
#include "play/hands.h"
#include "play/play_int.h"

/* ---- loads -------------------------------------------------------------------------------- */

enum { LOAD_MOST = 1 << 21 };

struct chooser {
    const struct hand_row *row;
    const struct reach *reach;
    enum stick_style style;
    int32_t burst[2]; /* of the leading hand and the other */
};

static inline int32_t takes_us(const struct chooser *chooser, unsigned hand, voice_id from,
                               voice_id to)
{
    const struct reach *reach = chooser->reach;
    int32_t move = reach->hand_us[reach->index[from] * reach->count + reach->index[to]];
    return move > chooser->burst[hand] ? move : chooser->burst[hand];
}

/* The time it takes divided by the time there is, in half microseconds a quarter. */
static inline int32_t load_of(const struct chooser *chooser, int64_t takes, int64_t ticks)
{
    int64_t load = ticks > 0 ? takes * chooser->row->quarter / (2 * ticks) : LOAD_MOST;
    return load < LOAD_MOST ? (int32_t)load : LOAD_MOST;
}

static inline int32_t distance_mm(const struct chooser *chooser, voice_id from, voice_id to)
{
    const struct voice *voices = chooser->reach->kit->voices;
    return reach_distance_mm(&voices[from], &voices[to]);
}

static inline struct chooser chooser_of(const struct hand_row *row, const struct reach *reach,
                                        enum stick_style style)
{
    bool strong_leads = row->left_leads == reach->kit->left_handed;
    const int32_t *values = reach->limits->values;
    int32_t weak = (int32_t)((int64_t)values[LIMIT_HAND_BURST] * values[LIMIT_WEAK_HAND] / 100);
    return (struct chooser){.row = row,
                            .reach = reach,
                            .style = style,
                            .burst = {strong_leads ? values[LIMIT_HAND_BURST] : weak,
                                      strong_leads ? weak : values[LIMIT_HAND_BURST]}};
}

/* ---- states ------------------------------------------------------------------------------- */

enum { RESTED = HANDS_BACK + 1 };

/* The last event of a hand, seen from the next event. */
struct last_struck {
    uint8_t back; /* how many events ago; RESTED: never, or too long ago to matter */
    bool turned;  /* an event of both hands, turned */
};

/* What has to be known before an event: of the leading hand and the other. */
struct state {
    struct last_struck hands[2];
};

static const struct state START = {{{RESTED, false}, {RESTED, false}}};

/* After an event of `hands` hands; `turned`: the choice that was made for it. */
static inline struct state state_after(struct state state, int hands, bool turned)
{
    for (int hand = 0; hand < 2; hand++) {
        struct last_struck *last = &state.hands[hand];
        if (hands == 2 || hand == turned)
            *last = (struct last_struck){1, hands == 2 && turned};
        else if (last->back < HANDS_BACK)
            last->back++;
        else
            *last = START.hands[hand];
    }
    return state;
}

/* Whether a hand whose last stroke was `back` events ago repeats it at event `at`: that was the
   event before, and neither of the two has a stroke of the other hand. */
static inline bool is_repeat(const struct hand_row *row, size_t at, unsigned back)
{
    return back == 1 && at > 0 && row->events[at].count == 1 && row->events[at - 1].count == 1;
}

/* The voice that a hand has in an event. */
static inline voice_id voice_at(const struct hand_event *event, int hand, bool turned)
{
    return event->voices[event->count == 2 && (hand == 1) != turned];
}

/* ---- habits ------------------------------------------------------------------------------- */

/* How many habits are broken: `first` counts time, above bit 32, and runs; `second` crossed arms,
   above bit 32, and beats. */
struct habit_cost {
    uint64_t first, second;
};

static inline struct habit_cost habit_sum(struct habit_cost a, struct habit_cost b)
{
    return (struct habit_cost){a.first + b.first, a.second + b.second};
}

static inline bool habit_is_less(struct habit_cost a, struct habit_cost b)
{
    return a.first < b.first || (a.first == b.first && a.second < b.second);
}

/* What each choice for an event costs after each choice for the event before it. */
struct habit_pair {
    struct habit_cost costs[2][2]; /* [of the event before][of the event] */
};

struct habit_prices {
    const struct hand_row *row;
    const struct reach *reach;
    bool strong_leads;
    int64_t cross, fast;      /* ticks */
    struct habit_pair *pairs; /* by event; on the heap */
    /* whether the last event and the one that begins a repeat are near enough to matter to each
       other, and what they then cost */
    bool round;
    struct habit_pair again;
};

struct habit_prices hands_habit_prices(const struct hand_row *row, const struct reach *reach);
void hands_habit_release(struct habit_prices *prices);

/* Faster strokes than these are a run: eighths at 100 are not. */
enum { HANDS_FAST_US = 300000 };
/* The fewest ticks that last so long at the row's tempo, or at an ordinary one if it has none. */
int64_t hands_ticks(const struct hand_row *row, int64_t us);

#endif
