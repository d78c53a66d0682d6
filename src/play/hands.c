#include "play/hands.h"

#include "play/play_int.h"

/* ---- costs -------------------------------------------------------------------------------- */

struct cost {
    int64_t first, second;
};

enum { LOAD_MOST = 1 << 21 };
static const struct cost IMPOSSIBLE = {INT64_MAX / 2, 0};

static bool is_cheaper(struct cost a, struct cost b)
{
    return a.first != b.first ? a.first < b.first : a.second < b.second;
}

struct chooser {
    const struct hand_row *row;
    const struct plan *plan;
    enum stick_style style;
    int32_t burst[2];  /* of the leading hand and the other */
    int64_t load_most; /* STICK_FASTEST, second time: no more than this */
    bool largest;      /* the first time: what counts is the largest load */
    bool doubles;      /* some event is of both hands */
};

static int32_t hand_takes_us(const struct chooser *chooser, int hand, voice_id from, voice_id to)
{
    const struct plan *plan = chooser->plan;
    int32_t move = plan->hand_us[plan->index[from] * plan->count + plan->index[to]];
    return move > chooser->burst[hand] ? move : chooser->burst[hand];
}

/* Time taken over time there is, in half microseconds a quarter. */
static int64_t load_of(const struct chooser *chooser, int hand, voice_id from, voice_id to,
                       int64_t ticks)
{
    int64_t takes = hand_takes_us(chooser, hand, from, to);
    int64_t load = ticks > 0 ? takes * chooser->row->quarter / ticks / 2 : LOAD_MOST;
    return load < LOAD_MOST ? load : LOAD_MOST;
}

static int64_t distance_mm(const struct chooser *chooser, voice_id from, voice_id to)
{
    const struct voice *voices = chooser->plan->kit->voices;
    return plan_distance_mm(&voices[from], &voices[to]);
}

/* ---- states ------------------------------------------------------------------------------- */

/*
 * What is known before an event: who struck the one before, and how many events ago the other hand
 * struck last (0: at the same time; HANDS_BACK + 1: not within reach). Of an event of both hands
 * that is the last of one of them, which hand had which voice.
 */
struct state {
    uint8_t hand; /* 0 the leading one, 1 the other */
    uint8_t gap;
    bool turned; /* of the other hand's event, or of the one of both */
};

enum { GAPS = HANDS_BACK + 2, STATES = 2 * GAPS * 2 };

static size_t state_number(struct state state)
{
    return ((size_t)state.hand * GAPS + state.gap) * 2 + state.turned;
}

static struct state state_of(size_t number)
{
    return (struct state){.hand = (uint8_t)(number / 2 / GAPS),
                          .gap = (uint8_t)(number / 2 % GAPS),
                          .turned = number & 1};
}

static voice_id voice_at(const struct hand_event *event, int hand, bool turned)
{
    return event->voices[event->count == 2 && (hand == 1) != turned];
}

/* Where a hand struck last before event `i`; false where that is out of reach. */
static bool last_of(const struct chooser *chooser, size_t i, struct state state, int hand,
                    size_t *event, voice_id *voice)
{
    size_t back = hand == state.hand ? 1 : state.gap + (size_t)1;
    if (i == 0 || back > HANDS_BACK || back > i)
        return false;
    *event = i - back;
    *voice = voice_at(&chooser->row->events[*event], hand, state.turned);
    return true;
}

static struct state state_after(const struct chooser *chooser, size_t i, struct state state,
                                bool turned)
{
    const struct hand_event *event = &chooser->row->events[i];
    if (event->count == 2)
        return (struct state){0, 0, turned};
    uint8_t hand = turned;
    if (i == 0)
        return (struct state){hand, HANDS_BACK + 1, false};
    if (state.gap == 0) /* the last event was of both */
        return (struct state){hand, 1, state.turned};
    if (hand != state.hand)
        return (struct state){hand, 1, false};
    uint8_t gap = (uint8_t)(state.gap <= HANDS_BACK ? state.gap + 1 : state.gap);
    return (struct state){hand, gap, gap > HANDS_BACK ? false : state.turned};
}

/* What one hand's way from voice to voice costs, in the style. */
static struct cost move_cost(const struct chooser *chooser, int hand, voice_id from, voice_id to,
                             int64_t ticks)
{
    int64_t load = load_of(chooser, hand, from, to, ticks);
    if (chooser->largest)
        return (struct cost){load, 0};
    if (load > chooser->load_most)
        return IMPOSSIBLE;
    if (chooser->style == STICK_TRAVEL)
        return (struct cost){distance_mm(chooser, from, to), load * load};
    if (chooser->style == STICK_EFFORT || chooser->style == STICK_FASTEST)
        return (struct cost){load * load, 0};
    return (struct cost){0, load * load};
}

static struct cost hand_cost(const struct chooser *chooser, size_t i, struct state state, int hand,
                             bool turned)
{
    const struct hand_event *event = &chooser->row->events[i];
    size_t last;
    voice_id from, to = voice_at(event, hand, turned);
    if (!last_of(chooser, i, state, hand, &last, &from))
        return (struct cost){0, 0};
    return move_cost(chooser, hand, from, to, event->tick - chooser->row->events[last].tick);
}

static struct cost add_costs(const struct chooser *chooser, struct cost a, struct cost b)
{
    if (chooser->largest)
        return a.first > b.first ? a : b;
    if (a.first >= IMPOSSIBLE.first || b.first >= IMPOSSIBLE.first)
        return IMPOSSIBLE;
    return (struct cost){a.first + b.first, a.second + b.second};
}

static struct cost event_cost(const struct chooser *chooser, size_t i, struct state state,
                              bool turned)
{
    const struct hand_event *event = &chooser->row->events[i];
    if (event->count == 2)
        return add_costs(chooser, hand_cost(chooser, i, state, 0, turned),
                         hand_cost(chooser, i, state, 1, turned));
    struct cost cost = hand_cost(chooser, i, state, turned, turned);
    if (chooser->style == STICK_ALTERNATE && i > 0 && state.gap && state.hand == turned)
        cost.first++;
    if (chooser->style == STICK_NATURAL && turned != event->odd)
        cost.first++;
    return cost;
}

/* ---- choosing ----------------------------------------------------------------------------- */

/* Where no event is of both hands, what an event costs depends on the hand and how far back its
   last one lies; the states share that. */
struct single_costs {
    struct cost of[2][HANDS_BACK + 2]; /* by hand, by events back; the last: out of reach */
};

static void find_single_costs(const struct chooser *chooser, size_t i, struct single_costs *costs)
{
    const struct hand_event *event = &chooser->row->events[i];
    for (int hand = 0; hand < 2; hand++)
        for (size_t back = 1; back <= HANDS_BACK + 1; back++) {
            struct cost *cost = &costs->of[hand][back];
            *cost = (struct cost){0, 0};
            if (back <= HANDS_BACK && back <= i)
                *cost = move_cost(chooser, hand, event[-(ptrdiff_t)back].voices[0],
                                  event->voices[0], event->tick - event[-(ptrdiff_t)back].tick);
            if (chooser->style == STICK_NATURAL && (hand == 1) != event->odd)
                cost->first++;
        }
}

/* As the general case in solve(), for an event after the first and a row without doubles. */
static void solve_single(const struct chooser *chooser, size_t i, struct cost *here,
                         const struct cost *rest, uint8_t *choices)
{
    const struct hand_event *event = &chooser->row->events[i];
    struct single_costs costs;
    find_single_costs(chooser, i, &costs);
    for (uint8_t last = 0; last < 2; last++)
        for (int back = 1; back <= HANDS_BACK + 1; back++) {
            uint8_t gap = (uint8_t)back;
            uint8_t longer = gap <= HANDS_BACK ? (uint8_t)(gap + 1) : gap;
            size_t s = state_number((struct state){last, gap, false});
            here[s] = IMPOSSIBLE;
            choices[s] = event->turned;
            for (uint8_t hand = 0; hand < 2; hand++) {
                bool again = hand == last;
                if (event->given && event->turned != hand)
                    continue;
                struct cost cost = costs.of[hand][again ? 1 : longer];
                if (again && chooser->style == STICK_ALTERNATE)
                    cost.first++;
                struct state after = {hand, again ? longer : 1, false};
                cost = add_costs(chooser, cost, rest[state_number(after)]);
                if (is_cheaper(cost, here[s])) {
                    here[s] = cost;
                    choices[s] = hand;
                }
            }
        }
}

/* From the end: what the rest costs at least after each state; and which choice that takes. */
static struct cost solve(const struct chooser *chooser, uint8_t *choices)
{
    struct cost rows[2][STATES] = {{{0, 0}}};
    for (size_t i = chooser->row->count; i-- > 0;) {
        const struct hand_event *event = &chooser->row->events[i];
        struct cost *here = rows[i & 1], *rest = rows[~i & 1];
        if (i && !chooser->doubles) {
            solve_single(chooser, i, here, rest, &choices[i * STATES]);
            continue;
        }
        for (size_t s = 0; s < (i ? STATES : 1); s++) {
            struct state state = state_of(s);
            here[s] = IMPOSSIBLE;
            choices[i * STATES + s] = event->turned;
            for (int turned = event->given ? event->turned : 0;
                 turned <= (event->given ? event->turned : 1); turned++) {
                size_t after = state_number(state_after(chooser, i, state, turned));
                struct cost cost =
                    add_costs(chooser, event_cost(chooser, i, state, turned), rest[after]);
                if (is_cheaper(cost, here[s])) {
                    here[s] = cost;
                    choices[i * STATES + s] = (uint8_t)turned;
                }
            }
        }
    }
    return rows[0][0];
}

static void walk(const struct chooser *chooser, const uint8_t *choices)
{
    struct state state = {0, 0, false};
    for (size_t i = 0; i < chooser->row->count; i++) {
        struct hand_event *event = &chooser->row->events[i];
        event->turned = choices[i * STATES + state_number(state)];
        state = state_after(chooser, i, state, event->turned);
    }
}

static struct chooser chooser_of(const struct hand_row *row, const struct plan *plan,
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
                            .load_most = INT64_MAX,
                            .largest = style == STICK_FASTEST};
}

void hands_choose(struct hand_row *row, const struct plan *plan, enum stick_style style)
{
    if (!row->count)
        return;
    struct chooser chooser = chooser_of(row, plan, style);
    for (size_t i = 0; i < row->count; i++)
        chooser.doubles |= row->events[i].count == 2;
    uint8_t *choices = memory_alloc(row->count * STATES);
    struct cost least = solve(&chooser, choices);
    if (chooser.largest) {
        chooser.load_most = least.first;
        chooser.largest = false;
        solve(&chooser, choices);
    }
    walk(&chooser, choices);
    memory_free(choices);
}

uint8_t hands_limb(const struct hand_row *row, const struct hand_event *event, int hit)
{
    bool second = (hit == 1) != event->turned;
    return second != row->left_leads ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
}

/* ---- sums --------------------------------------------------------------------------------- */

struct hand_sums hands_sums(const struct hand_row *row, const struct plan *plan)
{
    struct hand_sums sums = {.load = 0};
    struct chooser effort = chooser_of(row, plan, STICK_EFFORT);
    struct chooser travel = chooser_of(row, plan, STICK_TRAVEL);
    struct state state = {0, 0, false};
    for (size_t i = 0; i < row->count; i++) {
        const struct hand_event *event = &row->events[i];
        bool turned = event->turned, single = event->count == 1;
        sums.load += (double)event_cost(&effort, i, state, turned).first;
        sums.travel_mm += event_cost(&travel, i, state, turned).first;
        sums.repeats += single && i > 0 && state.gap && state.hand == turned;
        sums.off_slot += single && turned != event->odd;
        sums.open += !event->given;
        for (int hit = 0; hit < event->count; hit++)
            sums.strokes[hands_limb(row, event, hit) == LIMB_LEFT_HAND]++;
        state = state_after(&effort, i, state, turned);
    }
    /* half microseconds a quarter: 500,000 of them are a second's load of 1 */
    sums.load = row->count ? sums.load / 500000 / 500000 / (double)row->count : 0;
    return sums;
}

/* ---- proposals ---------------------------------------------------------------------------- */

void hands_note(const struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++) {
        const struct hand_event *event = &row->events[i];
        struct note *note = event->note;
        if (note->letter)
            continue;
        note->proposed = (note->proposed & NOTE_ASKED) | NOTE_PROPOSED;
        for (int hit = 0, seen = 0; hit < note->hit_count; hit++)
            if (note->hits[hit].limb == LIMB_HAND && seen < 2 &&
                hands_limb(row, event, seen++) == LIMB_LEFT_HAND)
                note->proposed |= (uint8_t)(1u << hit);
    }
}

static void propose(struct score *score, const struct score_exercise *exercise,
                    const struct plan *plan)
{
    struct arena *arena = arena_new();
    struct hand_row row = hands_gather(score, exercise, false, false, arena);
    hands_choose(&row, plan, STICK_FASTEST);
    hands_note(&row);
    arena_free(arena);
}

static bool has_unproposed(const struct score_bar *bar)
{
    const struct score_line *line = &bar->lines[LINE_HANDS];
    for (uint32_t i = 0; i < line->leaf_count; i++)
        if (leaf_struck(&line->leaves[i]) && !line->leaves[i].note->letter &&
            !(line->leaves[i].note->proposed & NOTE_PROPOSED))
            return true;
    return false;
}

/* Each exercise of a form once, however often it comes. */
void hands_propose(struct score *score, const struct score_exercise *exercise,
                   const struct plan *plan)
{
    struct order order;
    struct played_bar played;
    uint32_t bars = 0;
    order_begin(&order, score, exercise, 2);
    while (order_next(&order, &played) && bars++ < LESSON_BARS_MAX)
        if (has_unproposed(played.bar))
            propose(score, played.exercise, plan);
}

/* ---- letters ------------------------------------------------------------------------------ */

char hands_letter(const struct hand_row *row, const struct hand_event *event)
{
    if (event->count == 2)
        return 'B';
    return hands_limb(row, event, 0) == LIMB_LEFT_HAND ? 'L' : 'R';
}

/* Grace strokes were written as if the right hand had the note. */
static void settle_graces(struct note *note)
{
    if (note->letter == 'L')
        note->graces = (uint8_t)(~note->graces & ((1u << note->grace_count) - 1u));
}

static void fill(struct hand_row *row)
{
    for (size_t i = 0; i < row->count; i++) {
        struct note *note = row->events[i].note;
        if (note->letter || !(note->proposed & NOTE_ASKED))
            continue;
        note->letter = (uint8_t)hands_letter(row, &row->events[i]);
        for (int hit = 0, seen = 0; hit < note->hit_count; hit++)
            if (note->hits[hit].limb == LIMB_HAND && seen < 2)
                note->hits[hit].limb = hands_limb(row, &row->events[i], seen++);
        settle_graces(note);
    }
}

void play_fill_hands(struct score *score)
{
    struct plan plan = {.limits = NULL};
    for (size_t i = 0; i < score->exercise_count; i++) {
        const struct score_exercise *exercise = &score->exercises[i];
        const struct limits *limits = exercise->source->settings.limits;
        limits = limits ? limits : limits_builtin(LEVEL_ADVANCED);
        if (plan.limits != limits)
            plan_make(&plan, score, limits, score->arena);
        struct hand_row row = hands_gather(score, exercise, true, false, score->arena);
        hands_choose(&row, &plan, STICK_EFFORT);
        fill(&row);
    }
}
