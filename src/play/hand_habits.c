/*
 * The hands that keep most of a player's habits. In the order of their weight:
 *
 *     time   what keeps time stays in the leading hand, what falls between is for the free hand
 *     run    strokes on neighbouring slots that are too fast for one hand alternate
 *     cross  no arm is in another's way from one stroke to the next
 *     beat   each stroke of one hand has the hand of its slot; two at once are struck uncrossed
 *
 * What an event costs depends on the event before it alone, so that two sums, one for each choice
 * of that event, are enough to find the least of the whole row, from its end to its beginning.
 */
#include "play/hands_int.h"

static bool is_in_the_way(const struct habit_prices *prices, voice_id leading, voice_id other)
{
    return prices->strong_leads ? reach_crosses(prices->reach, leading, other)
                                : reach_crosses(prices->reach, other, leading);
}

/* The voice that a hand strikes in an event; VOICE_NONE: none. */
static voice_id voice_of_hand(const struct hand_event *event, int hand, bool turned)
{
    if (event->count == 1 && hand != turned)
        return VOICE_NONE;
    return voice_at(event, hand, turned);
}

/* Two events in a row: of the row, or its last and the one that it goes on with when repeated. */
struct pair {
    const struct hand_event *before, *event;
    int64_t gap;
};

/* Whether the hands cross, within the event or between the event before and this one. */
static bool crosses(const struct habit_prices *prices, struct pair pair, bool before_turned,
                    bool turned)
{
    bool near = pair.before && pair.gap < prices->cross;
    voice_id now[2], last[2];
    for (int hand = 0; hand < 2; hand++) {
        now[hand] = voice_of_hand(pair.event, hand, turned);
        last[hand] = now[hand] == VOICE_NONE && near
                         ? voice_of_hand(pair.before, hand, before_turned)
                         : now[hand];
    }
    return last[0] != VOICE_NONE && last[1] != VOICE_NONE &&
           is_in_the_way(prices, last[0], last[1]);
}

/* Two strokes of one hand where a run would change hands. */
static bool breaks_run(const struct habit_prices *prices, struct pair pair)
{
    const struct hand_event *before = pair.before, *event = pair.event;
    return before && event->count == 1 && before->count == 1 && pair.gap < prices->fast &&
           pair.gap <= event->slot && (event->habit == HABIT_BEAT || before->habit == HABIT_BEAT);
}

static void find_pair(const struct habit_prices *prices, struct pair pair, struct habit_pair *found)
{
    bool run = breaks_run(prices, pair), crossing = prices->reach->crossing;
    for (int before = 0; before < 2; before++)
        for (int turned = 0; turned < 2; turned++) {
            bool cross = crossing && crosses(prices, pair, before, turned);
            found->costs[before][turned] =
                (struct habit_cost){run && turned == before, (uint64_t)cross << 32};
        }
}

/* The other hand than that of the event's habit. */
static void add_habit(struct habit_pair *pair, const struct hand_event *event)
{
    for (int before = 0; before < 2; before++) {
        struct habit_cost *cost = &pair->costs[before][!event->wanted];
        if (event->habit == HABIT_BEAT)
            cost->second++;
        else
            cost->first += (uint64_t)1 << 32;
    }
}

static void find_again(struct habit_prices *prices)
{
    const struct hand_row *row = prices->row;
    if (row->count < 2 || row->again >= row->count)
        return;
    const struct hand_event *last = &row->events[row->count - 1], *event = &row->events[row->again];
    struct pair pair = {last, event, row->end - last->tick};
    prices->round = pair.gap < prices->cross || pair.gap < prices->fast;
    if (!prices->round)
        return;
    find_pair(prices, pair, &prices->again);
    for (int i = 0; i < 4 && event->count == 2; i++) /* its surfaces are judged at its own stroke */
        prices->again.costs[i / 2][i % 2].second = 0;
}

struct habit_prices hands_habit_prices(const struct hand_row *row, const struct reach *reach)
{
    struct habit_prices prices = {.row = row,
                                  .reach = reach,
                                  .strong_leads = row->left_leads == reach->kit->left_handed,
                                  .cross = hands_ticks(row, CROSS_WINDOW_US),
                                  .fast = hands_ticks(row, HANDS_FAST_US)};
    prices.pairs = memory_alloc((row->count + 1) * sizeof *prices.pairs);
    for (size_t i = 0; i < row->count; i++) {
        const struct hand_event *event = &row->events[i];
        struct pair pair = {i ? event - 1 : NULL, event, i ? event->tick - event[-1].tick : 0};
        find_pair(&prices, pair, &prices.pairs[i]);
        add_habit(&prices.pairs[i], event);
    }
    find_again(&prices);
    return prices;
}

void hands_habit_release(struct habit_prices *prices)
{
    memory_free(prices->pairs);
}

/* The least that all events cost with the given choice for the one that begins a repeat, and the
   choices: a bit for each choice of the event before. */
static struct habit_cost solve(const struct habit_prices *prices, bool begins, uint8_t *choices)
{
    const struct hand_row *row = prices->row;
    struct habit_cost rest[2] = {{0, 0}, {0, 0}}; /* by the choice of the event before */
    for (int last = 0; last < 2 && prices->round; last++)
        rest[last] = prices->again.costs[last][begins];
    for (size_t i = row->count; i-- > 0;) {
        const struct hand_event *event = &row->events[i];
        bool fixed = event->given || (prices->round && i == row->again);
        bool fixed_to = event->given ? event->turned : begins;
        struct habit_cost here[2];
        choices[i] = 0;
        for (int before = 0; before < 2; before++) {
            const struct habit_cost *own = prices->pairs[i].costs[before];
            struct habit_cost costs[2] = {habit_sum(own[0], rest[0]), habit_sum(own[1], rest[1])};
            bool turn = fixed ? fixed_to : habit_is_less(costs[1], costs[0]);
            here[before] = costs[turn];
            choices[i] |= (uint8_t)(turn << before);
        }
        rest[0] = here[0];
        rest[1] = here[1];
    }
    return rest[0];
}

void hands_by_habit(struct hand_row *row, const struct reach *reach)
{
    struct habit_prices prices = hands_habit_prices(row, reach);
    uint8_t *choices = memory_alloc(2 * row->count + 1), *best = choices;
    bool either = prices.round && !row->events[row->again].given;
    bool begins = prices.round && !either && row->events[row->again].turned;
    struct habit_cost cost = solve(&prices, begins, choices);
    if (either && habit_is_less(solve(&prices, true, choices + row->count), cost))
        best += row->count;
    bool before = false;
    for (size_t i = 0; i < row->count; i++)
        before = row->events[i].turned = best[i] >> before & 1;
    memory_free(choices);
    hands_habit_release(&prices);
}
