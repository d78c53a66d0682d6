/* Choosing hands (hands.h). */
#include "play/hands_int.h"

__extension__ typedef __int128 wide;

/* What a style adds up first is above all that can be added up second, and what cannot be above
   that; none overflows in as many strokes as a lesson has. */
static const wide FIRST = (wide)1 << 64, IMPOSSIBLE = (wide)1 << 104;

/* ---- states ------------------------------------------------------------------------------- */

_Static_assert(STATES <= 32, "a state has a bit");

static struct state state_of(unsigned number)
{
    return (struct state){.hand = (uint8_t)(number / 2 / (GAP_FAR + 1)),
                          .gap = (uint8_t)(number / 2 % (GAP_FAR + 1)),
                          .turned = number & 1};
}

/* The states that there can be before event `i`, as bits of their numbers; `both` of the events
   before it end with the last one of both hands. */
static uint32_t states_before(size_t i, size_t both)
{
    if (i == both)
        return i ? 3u : 1u << state_number(START);
    unsigned alone = i - both < GAP_FAR ? (unsigned)(i - both) : GAP_FAR;
    unsigned rest = both ? alone : GAP_FAR;
    uint32_t hand = ((1u << 2 * alone) - 1) & 0x5554u; /* gaps from 1, not turned */
    hand |= (rest < GAP_FAR ? 3u : 1u) << 2 * rest;
    return hand | hand << 2 * (GAP_FAR + 1);
}

enum { WAYS = 2 * (GAP_FAR + 1) * 2 };

static inline unsigned way_number(unsigned hand, struct way way)
{
    return (hand * (GAP_FAR + 1u) + way.back) * 2u + way.turned;
}

/* Of each state: the numbers of the hands' ways, and of what comes after an event of one hand. */
struct steps {
    uint8_t ways[STATES][2];
    uint8_t after[STATES][2];
    bool again[STATES][2];
};

static void find_steps(struct steps *steps)
{
    for (unsigned number = 0; number < STATES; number++)
        for (unsigned hand = 0; hand < 2; hand++) {
            struct state state = state_of(number);
            steps->ways[number][hand] = (uint8_t)way_number(hand, way_of(state, hand));
            steps->after[number][hand] = (uint8_t)state_number(state_after(state, 1, hand));
            steps->again[number][hand] = is_again(state, hand);
        }
}

/* ---- events ------------------------------------------------------------------------------- */

/* One event on the way from the end. */
struct turn {
    const struct chooser *chooser;
    const struct steps *steps;
    const struct hand_event *event;
    size_t both; /* so many of the events before it end with the last one of both hands */
    /* What an event costs a hand depends on its way to it, which states share; by `turned` of an
       event of both hands. 0 where it is out of reach. */
    int32_t loads[2][WAYS];
    wide costs[2][WAYS];
};

static size_t turn_index(const struct turn *turn)
{
    return (size_t)(turn->event - turn->chooser->row->events);
}

static void turn_begin(struct turn *turn, const struct chooser *chooser, const struct steps *steps)
{
    *turn = (struct turn){.chooser = chooser, .steps = steps, .both = chooser->row->count};
    turn->event = chooser->row->events + chooser->row->count;
}

/* The farthest way: before an event of both hands is nobody's last. */
static size_t turn_reach(const struct turn *turn)
{
    size_t back = turn_index(turn) - turn->both + (turn->both > 0);
    return back < HANDS_BACK ? back : HANDS_BACK;
}

/* The loads of both hands, which mostly are the same. */
struct pair {
    int32_t of[2];
};

static inline struct pair find_pair(const struct turn *turn, size_t back, unsigned from,
                                    unsigned to)
{
    const struct chooser *chooser = turn->chooser;
    voice_id left = turn->event[-(ptrdiff_t)back].voices[from], reached = turn->event->voices[to];
    int64_t ticks = turn->event->tick - turn->event[-(ptrdiff_t)back].tick;
    int32_t takes = takes_us(chooser, 0, left, reached),
            other = takes_us(chooser, 1, left, reached);
    int32_t load = load_of(chooser, takes, ticks);
    return (struct pair){{load, other == takes ? load : load_of(chooser, other, ticks)}};
}

/* The loads of the ways from so many events back. Hands of an event of both that is turned have the
   voices the other way about. */
static void find_loads(struct turn *turn, size_t back)
{
    unsigned from_both = turn->event[-(ptrdiff_t)back].count - 1u,
             to_both = turn->event->count - 1u;
    for (unsigned from = 0; from <= from_both; from++)
        for (unsigned to = 0; to <= to_both; to++) {
            struct pair pair = find_pair(turn, back, from, to);
            for (unsigned hand = 0; hand < 2; hand++) {
                struct way way = {(uint8_t)back, (from ^ hand) & from_both};
                turn->loads[(to ^ hand) & to_both][way_number(hand, way)] = pair.of[hand];
            }
        }
}

/* To the event before; false at the beginning. */
static bool turn_back(struct turn *turn)
{
    const struct hand_event *events = turn->chooser->row->events;
    if (turn->event == events)
        return false;
    turn->event--;
    while (turn->both > turn_index(turn) || (turn->both > 0 && events[turn->both - 1].count == 1))
        turn->both--;
    for (size_t back = turn_reach(turn); back > 0; back--)
        find_loads(turn, back);
    return true;
}

/* ---- the largest load ----------------------------------------------------------------------- */

static inline int32_t larger(int32_t a, int32_t b)
{
    return a > b ? a : b;
}

/* With an event of both hands comes the state whose number is `turned`. */
static inline int32_t choice_load(const struct turn *turn, const int32_t *rest, unsigned state,
                                  bool turned)
{
    const uint8_t *ways = turn->steps->ways[state];
    if (turn->event->count == 2)
        return larger(larger(turn->loads[turned][ways[0]], turn->loads[turned][ways[1]]),
                      rest[turned]);
    return larger(turn->loads[0][ways[turned]], rest[turn->steps->after[state][turned]]);
}

/* The least that the largest load of a row can be. */
static int32_t least_load(const struct chooser *chooser, const struct steps *steps)
{
    int32_t rows[2][STATES] = {{0}};
    struct turn turn;
    turn_begin(&turn, chooser, steps);
    while (turn_back(&turn)) {
        size_t i = turn_index(&turn);
        for (uint32_t left = states_before(i, turn.both); left; left &= left - 1) {
            unsigned state = (unsigned)__builtin_ctz(left);
            int32_t straight = choice_load(&turn, rows[~i & 1], state, false);
            int32_t turned = choice_load(&turn, rows[~i & 1], state, true);
            bool take = turn.event->given ? turn.event->turned : turned < straight;
            rows[i & 1][state] = take ? turned : straight;
        }
    }
    return rows[0][state_number(START)];
}

/* ---- the least of all ----------------------------------------------------------------------- */

/* What the ways cost, in the style. */
static void find_costs(struct turn *turn)
{
    const struct chooser *chooser = turn->chooser;
    size_t reach = turn_reach(turn);
    for (unsigned hand = 0; hand < 2; hand++)
        for (size_t back = 1; back <= reach; back++) {
            const struct hand_event *from = turn->event - back;
            for (unsigned was = 0; was < from->count; was++)
                for (unsigned is = 0; is < turn->event->count; is++) {
                    unsigned way = way_number(hand, (struct way){(uint8_t)back, was});
                    int64_t load = turn->loads[is][way];
                    wide cost = load > chooser->load_most ? IMPOSSIBLE : load * load;
                    if (chooser->style == STICK_TRAVEL)
                        cost += FIRST * distance_mm(chooser, voice_at(from, hand, was),
                                                    voice_at(turn->event, hand, is));
                    turn->costs[is][way] = cost;
                }
        }
}

/* What the event and the rest cost at least when it is chosen so. */
static inline wide choice_cost(const struct turn *turn, const wide *rest, unsigned state,
                               bool turned)
{
    enum stick_style style = turn->chooser->style;
    const uint8_t *ways = turn->steps->ways[state];
    if (turn->event->count == 2)
        return turn->costs[turned][ways[0]] + turn->costs[turned][ways[1]] + rest[turned];
    wide here = turn->costs[0][ways[turned]];
    if ((style == STICK_ALTERNATE && turn->steps->again[state][turned]) ||
        (style == STICK_NATURAL && turned != turn->event->odd))
        here += FIRST;
    return here + rest[turn->steps->after[state][turned]];
}

/* From the end: what the rest costs at least after each state; and which choice that takes, a bit a
   state. Of equal ones the leading hand's. */
static void solve(const struct chooser *chooser, const struct steps *steps, uint32_t *choices)
{
    wide rows[2][STATES] = {{0}};
    struct turn turn;
    turn_begin(&turn, chooser, steps);
    while (turn_back(&turn)) {
        size_t i = turn_index(&turn);
        uint32_t chosen = 0;
        find_costs(&turn);
        for (uint32_t left = states_before(i, turn.both); left; left &= left - 1) {
            unsigned state = (unsigned)__builtin_ctz(left);
            wide straight = choice_cost(&turn, rows[~i & 1], state, false);
            wide turned = choice_cost(&turn, rows[~i & 1], state, true);
            bool take = turn.event->given ? turn.event->turned : turned < straight;
            rows[i & 1][state] = take ? turned : straight;
            chosen |= (uint32_t)take << state;
        }
        choices[i] = chosen;
    }
}

static void walk(const struct chooser *chooser, const uint32_t *choices)
{
    struct state state = START;
    for (size_t i = 0; i < chooser->row->count; i++) {
        struct hand_event *event = &chooser->row->events[i];
        event->turned = choices[i] >> state_number(state) & 1;
        state = state_after(state, event->count, event->turned);
    }
}

void hands_choose(struct hand_row *row, const struct plan *plan, enum stick_style style)
{
    if (!row->count)
        return;
    struct chooser chooser = chooser_of(row, plan, style);
    struct steps steps;
    find_steps(&steps);
    if (style == STICK_FASTEST)
        chooser.load_most = least_load(&chooser, &steps);
    uint32_t *choices = memory_alloc(row->count * sizeof *choices);
    solve(&chooser, &steps, choices);
    walk(&chooser, choices);
    memory_free(choices);
}
