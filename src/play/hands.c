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
    wide (*costs)[WAYS]; /* NULL: it is the loads that are asked for */
};

static size_t turn_index(const struct turn *turn)
{
    return (size_t)(turn->event - turn->chooser->row->events);
}

static struct turn turn_begin(const struct chooser *chooser, const struct steps *steps,
                              wide (*costs)[WAYS])
{
    size_t count = chooser->row->count;
    return (struct turn){chooser, steps, chooser->row->events + count, count, .costs = costs};
}

/* What a way of such a load costs, in the style. */
static wide way_cost(const struct chooser *chooser, int64_t load, voice_id from, voice_id to)
{
    wide cost = load > chooser->load_most ? IMPOSSIBLE : load * load;
    return chooser->style == STICK_TRAVEL ? cost + FIRST * distance_mm(chooser, from, to) : cost;
}

/* The loads of both hands, which mostly are the same. */
struct pair {
    int32_t of[2];
};

static struct pair loads_of(const struct chooser *chooser, voice_id from, voice_id to,
                            int64_t ticks)
{
    int32_t takes = takes_us(chooser, 0, from, to), other = takes_us(chooser, 1, from, to);
    int32_t load = load_of(chooser, takes, ticks);
    return (struct pair){{load, other == takes ? load : load_of(chooser, other, ticks)}};
}

/* The ways from so many events back. Hands of an event of both that is turned have the voices the
   other way about. */
static void find_ways(struct turn *turn, size_t back)
{
    const struct hand_event *to = turn->event, *from = to - back;
    unsigned from_both = from->count - 1u, to_both = to->count - 1u;
    for (unsigned a = 0; a <= from_both; a++)
        for (unsigned b = 0; b <= to_both; b++) {
            voice_id left = from->voices[a], reached = to->voices[b];
            struct pair pair = loads_of(turn->chooser, left, reached, to->tick - from->tick);
            for (unsigned hand = 0; hand < 2; hand++) {
                unsigned turned = (b ^ hand) & to_both;
                unsigned way =
                    way_number(hand, (struct way){(uint8_t)back, (a ^ hand) & from_both});
                if (turn->costs)
                    turn->costs[turned][way] =
                        way_cost(turn->chooser, pair.of[hand], left, reached);
                else
                    turn->loads[turned][way] = pair.of[hand];
            }
        }
}

/* To the event before; false at the beginning. Before an event of both hands is nobody's last. */
static bool turn_back(struct turn *turn)
{
    const struct hand_event *events = turn->chooser->row->events;
    if (turn->event == events)
        return false;
    turn->event--;
    while (turn->both > turn_index(turn) || (turn->both > 0 && events[turn->both - 1].count == 1))
        turn->both--;
    size_t reach = turn_index(turn) - turn->both + (turn->both > 0);
    for (size_t back = 1; back <= reach && back <= HANDS_BACK; back++)
        find_ways(turn, back);
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
    struct turn turn = turn_begin(chooser, steps, NULL);
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
    wide rows[2][STATES] = {{0}}, costs[2][WAYS] = {{0}};
    struct turn turn = turn_begin(chooser, steps, costs);
    while (turn_back(&turn)) {
        size_t i = turn_index(&turn);
        uint32_t chosen = 0;
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
