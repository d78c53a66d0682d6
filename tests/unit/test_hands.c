/* Hands by dynamic programming against all assignments; and stickings that are known. */
#include "built.h"

#include "base/buffer.h"
#include "play/hands.h"
#include "play/play.h"
#include "play/play_int.h"
#include "play/reach.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- brute force -------------------------------------------------------------------------- */

static uint64_t seed;

static unsigned chance(unsigned below)
{
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(seed >> 33) % below;
}

struct sum {
    int64_t first, second;
};

static double cm(const struct voice *a, const struct voice *b)
{
    return sqrt(pow(a->x_cm - b->x_cm, 2) + pow(a->y_cm - b->y_cm, 2) + pow(a->z_cm - b->z_cm, 2));
}

/* Microseconds that a hand takes, as the model has it: burst, or Fitts's law where that is more. */
static int64_t takes(const struct reach *reach, bool weak, voice_id from, voice_id to)
{
    const struct voice *a = &reach->kit->voices[from], *b = &reach->kit->voices[to];
    const int32_t *values = reach->limits->values;
    int64_t burst = values[LIMIT_HAND_BURST] * (weak ? values[LIMIT_WEAK_HAND] : 100) / 100;
    if (cm(a, b) == 0)
        return burst;
    int64_t move = (int64_t)(reach_hand_ms(cm(a, b), voice_width_cm(b)) *
                             (values[LIMIT_REACH] / 100.0) * 1000);
    return move > burst ? move : burst;
}

/* What an assignment costs, event by event: bit i is `turned` of event i. */
static struct sum cost(const struct hand_row *row, const struct reach *reach,
                       enum stick_style style, uint32_t turned)
{
    struct sum sum = {0, 0};
    int last[2] = {-1, -1};
    bool strong_leads = row->left_leads == reach->kit->left_handed;
    for (size_t i = 0; i < row->count; i++) {
        const struct hand_event *event = &row->events[i];
        bool turn = turned >> i & 1;
        bool before_alone = i > 0 && row->events[i - 1].count == 1;
        if (style == STICK_ALTERNATE && event->count == 1 && before_alone)
            sum.first += turn == (turned >> (i - 1) & 1);
        if (style == STICK_NATURAL && event->count == 1)
            sum.first += turn != event->odd;
        for (int hand = 0; hand < 2; hand++) {
            if (event->count == 1 && hand != turn)
                continue;
            voice_id to = event->voices[event->count == 2 && (hand == 1) != turn];
            if (last[hand] >= 0 && (int)i - last[hand] <= HANDS_BACK) {
                const struct hand_event *from = &row->events[last[hand]];
                bool from_turned = turned >> last[hand] & 1;
                voice_id at = from->voices[from->count == 2 && (hand == 1) != from_turned];
                int64_t load = takes(reach, (hand == 0) != strong_leads, at, to) * row->quarter /
                               (event->tick - from->tick) / 2;
                load = load < 1 << 21 ? load : 1 << 21;
                *(style == STICK_EFFORT ? &sum.first : &sum.second) += load * load;
                if (style == STICK_TRAVEL)
                    sum.first += lround(10 * cm(&reach->kit->voices[at], &reach->kit->voices[to]));
            }
            last[hand] = (int)i;
        }
    }
    return sum;
}

/* Bits in the order of the events, the first one weighing most. */
static uint32_t assignment(uint32_t number, size_t count)
{
    uint32_t turned = 0;
    for (size_t i = 0; i < count; i++)
        turned |= (number >> (count - 1 - i) & 1) << i;
    return turned;
}

static uint32_t best_of_all(const struct hand_row *row, const struct reach *reach,
                            enum stick_style style)
{
    uint32_t best = 0;
    struct sum least = {INT64_MAX, INT64_MAX};
    for (uint32_t number = 0; number < 1u << row->count; number++) {
        uint32_t turned = assignment(number, row->count);
        bool allowed = true;
        for (size_t i = 0; i < row->count; i++)
            allowed &= !row->events[i].given || row->events[i].turned == (turned >> i & 1);
        if (!allowed)
            continue;
        struct sum sum = cost(row, reach, style, turned);
        bool better =
            sum.first < least.first || (sum.first == least.first && sum.second < least.second);
        if (!better)
            continue;
        best = turned;
        least = sum;
    }
    return best;
}

static struct hand_row random_row(struct hand_event events[14], bool left_leads)
{
    static const voice_id voices[] = {VOICE_SNARE,     VOICE_HI_HAT, VOICE_HIGH_TOM,
                                      VOICE_FLOOR_TOM, VOICE_RIDE,   VOICE_CRASH};
    struct hand_row row = {
        .events = events, .count = 2 + chance(13), .quarter = 96, .left_leads = left_leads};
    unsigned kinds = 1 + chance(6), given = chance(4);
    int64_t tick = 0;
    for (size_t i = 0; i < row.count; i++) {
        tick += chance(3) ? 24 : 8 * (1 + (int64_t)chance(9));
        events[i] = (struct hand_event){.tick = tick,
                                        .count = chance(8) ? 1 : 2,
                                        .given = chance(10) < given,
                                        .turned = chance(2),
                                        .odd = chance(2)};
        events[i].voices[0] = voices[chance(kinds)];
        events[i].voices[1] = voices[chance(6)];
    }
    return row;
}

START_TEST(the_least_of_all_assignments_is_found)
{
    struct built built = built_right(
        "title: T\nexercises:\n  - rhythm: 8*6 _4\n"
        "    voices: snare hi-hat high-tom floor-tom ride crash\n    sticking: RLRLRL\n");
    for (int round = 0; round < 100; round++) {
        struct reach reach;
        struct hand_event events[14];
        seed = (uint64_t)round * 977 + (uint64_t)_i;
        reach_make(&reach, built.score, limits_builtin((enum player_level)(round % 3)),
                   built.arena);
        struct hand_row row = random_row(events, chance(2));
        uint32_t best = best_of_all(&row, &reach, (enum stick_style)_i);
        hands_choose(&row, &reach, (enum stick_style)_i);
        uint32_t chosen = 0;
        for (size_t i = 0; i < row.count; i++)
            chosen |= (uint32_t)events[i].turned << i;
        ck_assert_msg(chosen == best, "style %d, round %d: %x, not %x", _i, round, chosen, best);
    }
    built_release(&built);
}
END_TEST

/* ---- known stickings ---------------------------------------------------------------------- */

static const char *letters(const struct built *built, enum stick_style style)
{
    struct score_exercise *exercise = &built->score->exercises[0];
    struct hand_sums sums, alternating;
    struct hand_row row = play_choose_hands(built->score, exercise, limits_builtin(LEVEL_ADVANCED),
                                            style, &sums, &alternating);
    char *text = arena_alloc(built->arena, row.count + 1);
    for (size_t i = 0; i < row.count; i++)
        text[i] = hands_letter(&row, &row.events[i]);
    return text;
}

/* Even strokes on one surface alternate in every style; the leading hand begins. */
START_TEST(straight_sixteenths_alternate)
{
    for (int style = STICK_PLAYER; style <= STICK_TRAVEL; style++) {
        struct built right = built_right("title: T\nexercises:\n  - rhythm: 16*16\n");
        struct built left =
            built_right("title: T\nexercises:\n  - rhythm: 16*16\n    lead: left\n");
        ck_assert_str_eq(letters(&right, (enum stick_style)style), "RLRLRLRLRLRLRLRL");
        ck_assert_str_eq(letters(&left, (enum stick_style)style), "LRLRLRLRLRLRLRLR");
        built_release(&right);
        built_release(&left);
    }
}
END_TEST

/* Natural sticking (right-hand lead): the hand that the full row of sixteenths 1 e & a, R L R L,
   would have there. The one-beat rhythms as method books print them, from memory; triplets and
   compound meters by the same rule, common practice. */
static const struct {
    const char *rhythm, *hands;
} natural[] = {
    {"16 16 16 16 _4 _2", "RLRL"},       /* 1 e & a */
    {"8 16 16 16*4 _2", "RRLRLRL"},      /* 1 & a */
    {"16 16 8 16*4 _2", "RLRRLRL"},      /* 1 e & */
    {"16 8 16 16*4 _2", "RLLRLRL"},      /* 1 e a */
    {"8. 16 16*4 _2", "RLRLRL"},         /* 1 a */
    {"16 8. 16*4 _2", "RLRLRL"},         /* 1 e */
    {"8 8 16*4 _2", "RRRLRL"},           /* 1 & */
    {"_16 16 16 16 16*4 _2", "LRLRLRL"}, /* e & a */
    {"_16 16 _8 16*4 _2", "LRLRL"},      /* e */
    {"_8. 16 4 16*4 _4", "LRRLRL"},      /* a */
    {"8*8", "RLRLRLRL"},                 /* no sixteenths: the even row is one of eighths */
    {"4 8 8 4 8 8", "RRLRRL"},
    {"3(8 8 8) 3(8 8 8) 3(4 8) 3(_8 4)", "RLRLRLRRR"},
};

START_TEST(natural_sticking_follows_the_even_row)
{
    char text[200];
    snprintf(text, sizeof text, "title: T\nexercises:\n  - rhythm: %s\n", natural[_i].rhythm);
    struct built built = built_right(text);
    ck_assert_str_eq(letters(&built, STICK_NATURAL), natural[_i].hands);
    built_release(&built);
}
END_TEST

START_TEST(given_hands_stay)
{
    struct built built = built_right("title: T\nexercises:\n  - subdivision: sixteenths\n"
                                     "    sticking: \"?L?? | R?L? | ???? | ???L\"\n");
    const char *chosen = letters(&built, STICK_ALTERNATE);
    ck_assert_int_eq(chosen[1], 'L');
    ck_assert_int_eq(chosen[4], 'R');
    ck_assert_int_eq(chosen[6], 'L');
    ck_assert_int_eq(chosen[15], 'L');
    ck_assert_str_eq(chosen, "RLRLRRLRRLRLRLRL");
    built_release(&built);
}
END_TEST

/* Two voices as far apart as the kit has them: each hand stays at its own. */
START_TEST(least_travel_stays_where_it_is)
{
    struct built built =
        built_right("title: T\nexercises:\n  - rhythm: 8*8\n"
                    "    voices: hi-hat floor-tom*2 hi-hat floor-tom*2 hi-hat*2\n");
    ck_assert_str_eq(letters(&built, STICK_TRAVEL), "RLLRLLRR");
    built_release(&built);
}
END_TEST

/* ---- auto --------------------------------------------------------------------------------- */

START_TEST(auto_fills_the_letters)
{
    struct built built = built_right("title: T\nexercises:\n  - subdivision: sixteenths\n"
                                     "    sticking: auto\n    at: {2: flam, 4: rest}\n"
                                     "  - rhythm: 8 8 4 _2\n    sticking: R?L\n"
                                     "  - rhythm: 8*8\n");
    ck_assert(built.score->hands_asked);
    ck_assert_uint_eq(built.score->exercises[0].cycle.slots_in_cycle, 0);
    play_fill_hands(built.score);
    ck_assert_str_eq(built_strokes(&built, 0, 0, LINE_HANDS),
                     "R:snare L:snare R:snare L:snare lR:snare L:snare R:snare L:snare "
                     "R:snare L:snare R:snare L:snare L:snare R:snare L:snare");
    ck_assert_str_eq(built_strokes(&built, 1, 0, LINE_HANDS), "R:snare L:snare L:snare");
    ck_assert_int_eq(built_bar(&built, 2, 0)->lines[LINE_HANDS].leaves[0].note->letter, 0);
    built_release(&built);
}
END_TEST

START_TEST(hands_that_play_other_voices_cannot_be_chosen)
{
    struct built built = built_any("title: T\nexercises:\n  - subdivision: sixteenths\n"
                                   "    sticking: auto\n    play: {R: ride, L: snare}\n");
    built_finding(&built, DIAG_CONFLICT, 5, 11);
    built_release(&built);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("hands");
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, the_least_of_all_assignments_is_found, STICK_EFFORT,
                        STICK_TRAVEL + 1);
    tcase_add_test(tcase, straight_sixteenths_alternate);
    tcase_add_loop_test(tcase, natural_sticking_follows_the_even_row, 0,
                        sizeof natural / sizeof *natural);
    tcase_add_test(tcase, given_hands_stay);
    tcase_add_test(tcase, least_travel_stays_where_it_is);
    tcase_add_test(tcase, auto_fills_the_letters);
    tcase_add_test(tcase, hands_that_play_other_voices_cannot_be_chosen);
    Suite *suite = suite_create("hands");
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
