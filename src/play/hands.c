/*
 * Choosing hands (hands.h), by dynamic programming from the last event to the first.
 *
 *     states   what the past can look like before an event: how many events ago each hand struck
 *              last, at most HANDS_BACK, and of events of both hands, which hand had which voice
 *     prices   what an event costs a hand, by its last event
 *     solve    for each event, last to first, and each state: the least that it and all after it
 *              cost with either choice; the cheaper choice is kept, the leading hand's if equal
 *     walk     from the first event on: the choice kept for the state that the choices led to
 */
#include "play/hands_int.h"

#include <string.h>

/* ---- costs -------------------------------------------------------------------------------- */

/* Compared by what the style adds up first; the load decides only between equals. */
struct cost {
    int64_t first;
    uint64_t load;
};

_Static_assert(LESSON_STROKES_MAX <= 1 << 20, "costs of a whole lesson fit in 64 bits");

static inline bool is_less(struct cost a, struct cost b)
{
    return a.first < b.first || (a.first == b.first && a.load < b.load);
}

static inline struct cost sum(struct cost a, struct cost b)
{
    return (struct cost){a.first + b.first, a.load + b.load};
}

/* ---- states ------------------------------------------------------------------------------- */

enum { STATES_MOST = 32, LASTS = 2 * (RESTED + 1) }; /* 25 states; of single events alone 13 */

struct states {
    struct state items[STATES_MOST];
    size_t count;
    uint8_t lasts[STATES_MOST][2];    /* last_number() of each hand */
    uint8_t after[2][STATES_MOST][2]; /* by the hands of the event - 1, and its choice */
};

static inline unsigned last_number(struct last_struck last)
{
    return 2u * last.back + last.turned;
}

static size_t number_of(struct states *states, struct state state)
{
    size_t i = 0;
    while (i < states->count && memcmp(&states->items[i], &state, sizeof state) != 0)
        i++;
    if (i == states->count)
        states->items[states->count++] = state;
    return i;
}

/* All that can follow from the start, by events of one hand or, if there are such, of two. */
static void find_states(struct states *states, int hands_most)
{
    states->count = 0;
    number_of(states, START);
    for (size_t i = 0; i < states->count; i++)
        for (int turned = 0; turned < 2; turned++) {
            states->lasts[i][turned] = (uint8_t)last_number(states->items[i].hands[turned]);
            for (int hands = 1; hands <= hands_most; hands++)
                states->after[hands - 1][i][turned] =
                    (uint8_t)number_of(states, state_after(states->items[i], hands, turned));
        }
}

static int hands_most(const struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (row->events[i].count == 2)
            return 2;
    return 1;
}

/* ---- prices ------------------------------------------------------------------------------- */

/* What an event costs each hand, by the number of what it struck last; of an event of both hands,
   straight and turned. Nothing after a rest. */
struct prices {
    int32_t loads[2][2][LASTS];
    int32_t firsts[2][2][LASTS]; /* what the style adds up first */
};

/* The loads of one voice after another; those of both hands are mostly the same. */
static inline void find_loads(const struct chooser *chooser, int64_t ticks, voice_id from,
                              voice_id to, int32_t *leading, int32_t *other)
{
    int32_t takes = takes_us(chooser, 0, from, to), others = takes_us(chooser, 1, from, to);
    *leading = load_of(chooser, takes, ticks);
    *other = others == takes ? *leading : load_of(chooser, others, ticks);
}

/* After the event `back` places before this one. In a turned event of both hands, each hand has the
   other's voice. */
static inline void find_prices_after(const struct chooser *chooser, const struct hand_event *event,
                                     unsigned back, struct prices *prices)
{
    const struct hand_event *before = event - back;
    unsigned before_both = before->count - 1u, both = event->count - 1u;
    for (unsigned a = 0; a <= before_both; a++)
        for (unsigned b = 0; b <= both; b++) {
            voice_id from = before->voices[a], to = event->voices[b];
            unsigned last = 2 * back + a, turned = (b ^ 1) & both;
            unsigned other_last = 2 * back + ((a ^ 1) & before_both);
            find_loads(chooser, event->tick - before->tick, from, to, &prices->loads[b][0][last],
                       &prices->loads[turned][1][other_last]);
            if (chooser->style == STICK_TRAVEL)
                prices->firsts[b][0][last] = prices->firsts[turned][1][other_last] =
                    distance_mm(chooser, from, to);
        }
}

/* A repeat, or the other hand's slot. */
static bool leaves_style(const struct chooser *chooser, size_t at, int hand, unsigned back)
{
    const struct hand_event *event = &chooser->row->events[at];
    if (chooser->style == STICK_ALTERNATE)
        return is_repeat(chooser->row, at, back);
    return event->count == 1 && hand != event->odd;
}

static void find_style(const struct chooser *chooser, size_t at, struct prices *prices)
{
    for (int hand = 0; hand < 2; hand++)
        for (unsigned last = 0; last < LASTS; last++)
            prices->firsts[0][hand][last] = leaves_style(chooser, at, hand, last / 2);
}

/* No hand's last event lies before one of both. */
static void find_prices(const struct chooser *chooser, size_t at, struct prices *prices)
{
    const struct hand_event *event = &chooser->row->events[at];
    if (chooser->style == STICK_ALTERNATE || chooser->style == STICK_NATURAL)
        find_style(chooser, at, prices);
    for (unsigned back = 1; back <= HANDS_BACK && back <= at; back++) {
        find_prices_after(chooser, event, back, prices);
        if (event[-(ptrdiff_t)back].count == 2)
            break;
    }
}

/* ---- solving ------------------------------------------------------------------------------ */

static inline struct cost cost_of(const struct prices *prices, int turned, int hand, unsigned last)
{
    int64_t load = prices->loads[turned][hand][last];
    int64_t first = prices->firsts[turned][hand][last];
    return (struct cost){first, (uint64_t)(load * load)};
}

static inline struct cost cost_if(const struct prices *prices, const uint8_t lasts[2], bool both,
                                  bool turned)
{
    return both ? sum(cost_of(prices, turned, 0, lasts[0]), cost_of(prices, turned, 1, lasts[1]))
                : cost_of(prices, 0, turned, lasts[turned]);
}

/* The cheaper choices at each event, a bit a state. */
static void solve(const struct chooser *chooser, const struct states *states, uint32_t *choices)
{
    struct cost rows[2][STATES_MOST] = {{{0, 0}}};
    struct prices prices = {{{{0}}}, {{{0}}}};
    for (size_t i = chooser->row->count; i-- > 0;) {
        const struct hand_event *event = &chooser->row->events[i];
        const struct cost *rest = rows[~i & 1];
        bool both = event->count == 2;
        uint32_t chosen = 0;
        find_prices(chooser, i, &prices);
        for (size_t state = 0; state < states->count; state++) {
            const uint8_t *after = states->after[both][state], *lasts = states->lasts[state];
            struct cost straight = sum(cost_if(&prices, lasts, both, false), rest[after[0]]);
            struct cost turned = sum(cost_if(&prices, lasts, both, true), rest[after[1]]);
            bool turn = event->given ? event->turned : is_less(turned, straight);
            rows[i & 1][state] = turn ? turned : straight;
            chosen |= (uint32_t)turn << state;
        }
        choices[i] = chosen;
    }
}

static void walk(const struct hand_row *row, const struct states *states, const uint32_t *choices)
{
    size_t state = 0;
    for (size_t i = 0; i < row->count; i++) {
        struct hand_event *event = &row->events[i];
        event->turned = choices[i] >> state & 1;
        state = states->after[event->count - 1][state][event->turned];
    }
}

void hands_choose(struct hand_row *row, const struct reach *reach, enum stick_style style)
{
    if (!row->count)
        return;
    struct chooser chooser = chooser_of(row, reach, style);
    struct states states;
    find_states(&states, hands_most(row));
    uint32_t *choices = memory_alloc(row->count * sizeof *choices);
    solve(&chooser, &states, choices);
    walk(row, &states, choices);
    memory_free(choices);
}
