/*
 * Hands as a player would choose them: against all assignments of short exercises, and against
 * what drummers do with ordinary material (common practice).
 */
#include "built.h"

#include "base/buffer.h"
#include "limit_checker.h"
#include "play/hands.h"
#include "play/play.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- random exercises --------------------------------------------------------------------- */

static uint64_t seed;

static unsigned chance(unsigned below)
{
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(seed >> 33) % below;
}

static const struct {
    const char *rhythm;
    unsigned strokes;
} beats[] = {{"16 16 16 16", 4}, {"8 16 16", 3}, {"16 16 8", 3},    {"8 8", 2}, {"4", 1},
             {"8. 16", 2},       {"_8 8", 1},    {"3(8 8 8)", 3},   {"_4", 0},  {"16 8 16", 3},
             {"3(8 _8 8)", 2},   {"8 8", 2},     {"16 16 16 16", 4}};

static const char *const surfaces[] = {"snare",    "hi-hat",    "snare",   "ride",
                                       "high-tom", "floor-tom", "mid-tom", "crash"};

/* One bar of at most `most` strokes; sometimes with a few letters, accents and ghosts. `end`: more
   lines of the exercise; NULL: perhaps a repeat. */
static const char *random_lesson(struct arena *arena, unsigned most, const char *end)
{
    static const char *const strokes[] = {"?", "?", "?", "R", "L", "?>", "(?)", "lR", "?"};
    struct buffer rhythm = {0}, voices = {0}, sticking = {0};
    unsigned count = 0, kinds = 1 + chance(8);
    bool lettered = chance(3) == 0;
    for (int beat = 0; beat < 4; beat++) {
        unsigned which = chance(sizeof beats / sizeof *beats);
        bool fits = count + beats[which].strokes <= most;
        buffer_format(&rhythm, " %s", fits ? beats[which].rhythm : "_4");
        for (unsigned i = 0; fits && i < beats[which].strokes; i++, count++) {
            unsigned surface = chance(kinds);
            buffer_format(&voices, " %s", surfaces[surface]);
            if (!lettered && chance(6) == 0)
                buffer_format(&voices, "+%s", surfaces[surface < 3 ? 4 + chance(4) : 0]);
            buffer_format(&sticking, " %s", strokes[chance(9)]);
        }
    }
    static const char *const levels[] = {"beginner", "intermediate", "advanced"};
    const char *text = arena_format(
        arena,
        "title: T\nlevel: %s\ntempo: %u\nkit: {handed: %s}\nexercises:\n  - rhythm:%s\n"
        "    lead: %s\n    voices:%s\n%s%s\n%s",
        levels[chance(3)], 50 + chance(200), chance(5) ? "right" : "left", buffer_text(&rhythm),
        chance(4) ? "right" : "left", buffer_text(&voices), lettered ? "    sticking: \"" : "",
        lettered ? arena_format(arena, "%s\"", buffer_text(&sticking)) : "",
        end         ? end
        : chance(3) ? ""
                    : "    repeat: 2\n");
    buffer_release(&rhythm);
    buffer_release(&voices);
    buffer_release(&sticking);
    return count ? text : random_lesson(arena, most, end);
}

/* ---- what an assignment costs --------------------------------------------------------------- */

struct cost {
    size_t breaks, early;
    unsigned time, runs, crosses, beats;
    uint32_t late; /* bit 31: the first event has not the leading hand; bit 30: the second ... */
};

static int compare(const struct cost *a, const struct cost *b)
{
    size_t as[] = {a->breaks, a->early, a->time, a->runs, a->crosses, a->beats, a->late};
    size_t bs[] = {b->breaks, b->early, b->time, b->runs, b->crosses, b->beats, b->late};
    for (size_t i = 0; i < sizeof as / sizeof *as; i++)
        if (as[i] != bs[i])
            return as[i] < bs[i] ? -1 : 1;
    return 0;
}

struct trial_of_all {
    struct built built;
    struct score_exercise *exercise;
    struct reach reach;
    struct hand_row row;
    struct timeline timeline;
};

static size_t number_of(const struct hand_row *row, const struct note *note)
{
    size_t i = 0;
    while (row->events[i].note != note)
        i++;
    return i;
}

/* Whether a blow is of the second time through. */
static bool is_repeated(const struct timeline *timeline, const struct blow *blow)
{
    return timeline->bars.count > 1 && blow->bar >= timeline->bars.count / 2;
}

/* Whether a blow of the note is broken the first time through. */
static bool is_among(const struct timeline *timeline, const struct blow *const *broken,
                     size_t count, const struct note *note)
{
    for (size_t i = 0; i < count; i++)
        if (broken[i]->note == note && !is_repeated(timeline, broken[i]))
            return true;
    return false;
}

/* A stroke that breaks a limit both times through an exercise counts once. */
static void add_breaks(struct trial_of_all *trial, struct cost *cost)
{
    struct prepared prepared;
    struct checker checker = {&trial->timeline, trial->reach.kit, trial->reach.limits->values, 0};
    checker.tick_ms =
        60000 / fraction_to_double(trial->row.tempo) / (double)trial->timeline.quarter;
    checker_prepare(&checker, &prepared);
    for (uint8_t role = STRONG_HAND; role <= WEAK_HAND; role++) {
        const struct blow *broken[64];
        ck_assert_uint_le(trial->timeline.limbs[role].count, 64);
        size_t count = checker_broken(&checker, &prepared, role, broken);
        for (size_t i = 0; i < count; i++) {
            size_t number = number_of(&trial->row, broken[i]->note);
            bool again = is_repeated(&trial->timeline, broken[i]);
            if (again && is_among(&trial->timeline, broken, count, broken[i]->note))
                continue;
            cost->early += 2 * trial->row.count - number - (again ? trial->row.count : 0);
            cost->breaks++;
        }
    }
    checker_release(&prepared);
}

static double to_us(const struct hand_row *row, int64_t ticks)
{
    return (double)ticks / (double)row->quarter * 60e6 / fraction_to_double(row->tempo);
}

/* Where each hand is: of the event, or, within a quarter of a second, of the one before. */
static bool crosses(const struct trial_of_all *trial, const struct hand_event *before,
                    const struct hand_event *event, double gap)
{
    const struct hand_event *both[] = {before && gap < 250000 - 1e-6 ? before : event, event};
    const struct voice *voices = trial->reach.kit->voices;
    const struct voice *at[2] = {NULL, NULL};
    for (int k = 0; k < 2; k++)
        for (int hit = 0; hit < both[k]->count; hit++)
            at[(hit == 1) != both[k]->turned] = &voices[both[k]->voices[hit]];
    bool strong = trial->row.left_leads != trial->reach.kit->left_handed;
    if (!at[0] || !at[1])
        return false;
    int across = at[!strong]->x_cm - at[strong]->x_cm, height = abs(at[0]->z_cm - at[1]->z_cm);
    return across > 5 && height < 25 && (height < 5 || across > 45);
}

static bool stops_run(const struct hand_event *before, const struct hand_event *event, double gap,
                      int64_t ticks)
{
    return before->count == 1 && event->count == 1 && before->turned == event->turned &&
           gap < 300000 - 1e-6 && ticks <= event->slot &&
           (event->habit == HABIT_BEAT || before->habit == HABIT_BEAT);
}

static struct cost cost_now(struct trial_of_all *trial)
{
    struct cost cost = {.breaks = 0};
    const struct hand_row *row = &trial->row;
    hands_note(row);
    timeline_make(&trial->timeline, trial->built.score, trial->exercise, &trial->reach, 2);
    add_breaks(trial, &cost);
    for (size_t i = 0; i < row->count; i++) {
        const struct hand_event *event = &row->events[i], *last = i ? event - 1 : NULL;
        bool kept = event->turned == event->wanted;
        cost.late |= (uint32_t)event->turned << (31 - i);
        int64_t ticks = i ? event->tick - last->tick : 0;
        cost.time += event->habit != HABIT_BEAT && !kept;
        cost.beats += event->habit == HABIT_BEAT && !kept;
        cost.crosses += crosses(trial, last, event, to_us(row, ticks));
        cost.runs += i && stops_run(last, event, to_us(row, ticks), ticks);
    }
    const struct hand_event *first = row->events, *last = &row->events[row->count - 1];
    int64_t once = trial->timeline.end / (trial->exercise->source->plays > 1 ? 2 : 1);
    int64_t ticks = once + first->tick - last->tick; /* when it is repeated */
    if (row->count > 1) {
        cost.runs += stops_run(last, first, to_us(row, ticks), ticks);
        cost.crosses += first->count == 1 && crosses(trial, last, first, to_us(row, ticks));
    }
    return cost;
}

/* ---- all assignments ------------------------------------------------------------------------ */

static struct trial_of_all trial_new(const char *text)
{
    struct trial_of_all trial = {.built = built_right(text)};
    trial.exercise = &trial.built.score->exercises[0];
    reach_make(&trial.reach, trial.built.score, trial.exercise->source->settings.limits,
               trial.built.arena);
    struct time_grid grid = timeline_grid(trial.built.score, trial.exercise);
    trial.row = hands_gather(trial.built.score, trial.exercise, grid, false,
                             hands_go_round(trial.exercise), trial.built.arena);
    hands_find_habits(&trial.row, &trial.reach);
    return trial;
}

/* Bit i: what `turned` is of event i. False if a hand is written otherwise. */
static bool set_hands(struct hand_row *row, uint32_t turned)
{
    for (size_t i = 0; i < row->count; i++)
        if (row->events[i].given && row->events[i].turned != (turned >> i & 1))
            return false;
    for (size_t i = 0; i < row->count; i++)
        row->events[i].turned = turned >> i & 1;
    return true;
}

static struct judgement fastest_of(struct judgement a, struct judgement b)
{
    bool faster = !b.limit.note || (a.limit.note && ratio_compare(b.limit_ticks, b.limit_us,
                                                                  a.limit_ticks, a.limit_us) > 0);
    return faster ? b : a;
}

/* The least cost of all assignments, and the highest tempo. */
static struct cost try_all(struct trial_of_all *trial, struct judgement *fastest)
{
    struct cost least = {.breaks = SIZE_MAX};
    bool none = true;
    for (uint32_t turned = 0; turned < 1u << trial->row.count; turned++) {
        if (!set_hands(&trial->row, turned))
            continue;
        struct cost cost = cost_now(trial);
        if (compare(&cost, &least) < 0)
            least = cost;
        struct judgement judged = {.tempo = FRACTION_OVERFLOW};
        judge(&judged, &trial->timeline, &trial->reach);
        *fastest = none ? judged : fastest_of(*fastest, judged);
        none = false;
    }
    return least;
}

static void compare_with_all(const char *text, size_t found[3])
{
    struct trial_of_all trial = trial_new(text);
    struct judgement fastest;
    struct cost least = try_all(&trial, &fastest);
    hands_as_player(&trial.row, &trial.reach);
    struct cost chosen = cost_now(&trial);
    ck_assert_msg(compare(&chosen, &least) == 0,
                  "%s: %zu breaks (%zu), habits %u %u %u %u, %x; not %zu (%zu), %u %u %u %u, %x",
                  text, chosen.breaks, chosen.early, chosen.time, chosen.runs, chosen.crosses,
                  chosen.beats, chosen.late, least.breaks, least.early, least.time, least.runs,
                  least.crosses, least.beats, least.late);
    play_check(trial.built.score, &(struct play_options){.at = 0}, NULL);
    const struct verdict *verdict = trial.exercise->verdict;
    ck_assert_int_eq(verdict->kind == VERDICT_UNLIMITED, !fastest.limit.note);
    if (fastest.limit.note) {
        double tenths = (double)fastest.limit_ticks / (double)trial.timeline.quarter * 600e6 /
                        (double)fastest.limit_us;
        ck_assert_msg(verdict->max_tenths == (uint32_t)(tenths + 1e-9), "%s: %u tenths, not %.2f",
                      text, verdict->max_tenths, tenths);
    }
    found[0] += least.breaks > 0;
    found[1] += least.breaks == 0 && least.time + least.runs + least.crosses + least.beats > 0;
    found[2] += verdict->proposed;
    timeline_release(&trial.timeline);
    built_release(&trial.built);
}

/* The fewest broken limits, the latest, of those hands the best by habit, and of these those with
   the leading hand first; also where a repeat goes back. And the verdict of the fastest hands. */
START_TEST(the_best_of_all_assignments_is_found)
{
    static const struct {
        unsigned rounds, strokes;
    } sizes[] = {{2000, 7}, {200, 10}, {20, 14}};
    size_t found[3] = {0}, rounds = 0;
    for (size_t size = 0; size < sizeof sizes / sizeof *sizes; size++)
        for (unsigned round = 0; round < sizes[size].rounds; round++, rounds++) {
            struct arena *own = arena_new();
            seed = round * 7919u + size * 104729u + 1;
            compare_with_all(random_lesson(own, sizes[size].strokes, NULL), found);
            arena_free(own);
        }
    ck_assert_uint_gt(found[0], rounds / 20); /* nothing can be played */
    ck_assert_uint_gt(found[1], rounds / 20); /* a habit has to give way */
    ck_assert_uint_gt(found[2], rounds / 2);
}
END_TEST

static const struct verdict *last_verdict(struct built *built)
{
    play_check(built->score, &(struct play_options){.at = 0}, NULL);
    return built->score->exercises[built->score->exercise_count - 1].verdict;
}

/* Whether a form plays an exercise twice or its repeat does: the best hands are the same. */
START_TEST(a_form_goes_back_as_a_repeat_does)
{
    size_t slower = 0;
    for (unsigned round = 0; round < 300; round++) {
        struct arena *own = arena_new();
        uint32_t tenths[3];
        static const char *const ends[] = {"    repeat: 2\n", "    id: a\n  - sequence: a*2\n", ""};
        for (int i = 0; i < 3; i++) {
            seed = round * 7919u + 1;
            struct built built = built_right(random_lesson(own, 10, ends[i]));
            tenths[i] = last_verdict(&built)->max_tenths;
            built_release(&built);
        }
        ck_assert_uint_eq(tenths[0], tenths[1]);
        slower += tenths[0] < tenths[2];
        arena_free(own);
    }
    ck_assert_uint_gt(slower, 20);
}
END_TEST

/* ---- what drummers do --------------------------------------------------------------------- */

static const char *hands_of(struct built *built, size_t exercise)
{
    const struct score_exercise *score_exercise = &built->score->exercises[exercise];
    const struct limits *limits = score_exercise->source->settings.limits;
    struct hand_sums sums, alternating;
    struct hand_row row =
        play_choose_hands(built->score, score_exercise, limits, STICK_PLAYER, &sums, &alternating);
    struct buffer text = {0};
    for (size_t i = 0; i < row.count; i++) {
        char letter = hands_letter(&row, &row.events[i]);
        buffer_format(&text, "%c",
                      letter != 'B'                                           ? letter
                      : hands_limb(&row, &row.events[i], 0) == LIMB_LEFT_HAND ? 'b'
                                                                              : 'B');
    }
    const char *copy = arena_copy_text(built->arena, buffer_text(&text), text.length);
    buffer_release(&text);
    return copy;
}

/* B: both, the right hand has the voice that is written first; b: the left hand has it. */
static const struct {
    const char *name, *level, *exercise, *hands;
    unsigned tempo;
} known[] = {
    {"rock beat: the right hand keeps the hat", "beginner",
     "hi-hat: eighths, snare: 2 4, kick: 1 3", "RRBRRRBR", 80},
    {"a bar with letters changes nothing", "beginner",
     "bars: [{hi-hat: eighths, snare: 2 4}, {subdivision: eighths, sticking: RLRL}]",
     "RRBRRRBRRLRLRLRL", 80},
    {"nor does a pickup", "intermediate",
     "hi-hat: eighths, snare: 2 4, pickup: {rhythm: 16 16, sticking: R L}", "RLRRBRRRBR", 100},
    {"the floor tom keeps time", "intermediate", "floor-tom: eighths, snare: 2 4", "RRBRRRBR", 110},
    {"swung ride", "advanced", "swing: 2/3, ride: 1 2 2& 3 4 4&", "RRRRRR", 180},
    {"swung ride, comping between", "advanced",
     "subdivision: eighth triplets, ride: 1 2 2let 3 4 4let, snare: 2trip 4trip", "RRLRRRLR", 150},
    {"samba: the cross-stick is the left hand's", "advanced",
     "time: 2/4, ride: 1 1& 1a 2 2& 2a, cross-stick: 1 1a 2&", "BRBRBR", 95},
    {"sixteenth hats hand to hand, the backbeat to the hand whose turn it is", "advanced",
     "rhythm: 16*16, voices: hi-hat*4 snare hi-hat*7 snare hi-hat*3", "RLRLRLRLRLRLRLRL", 110},
    {"slow sixteenth hats stay in one hand", "advanced",
     "rhythm: 16*16, voices: hi-hat*4 snare hi-hat*7 snare hi-hat*3", "RRRRLRRRRRRRLRRR", 70},
    {"a fill begins right", "beginner",
     "rhythm: 16*16, voices: snare*4 high-tom*4 mid-tom*4 floor-tom*4", "RLRLRLRLRLRLRLRL", 60},
    {"and so does one after a groove", "intermediate",
     "bars: [{hi-hat: eighths, snare: 2 4}, {rhythm: 16*16, voices: snare*8 floor-tom*8}]",
     "RRBRRRBRRLRLRLRLRLRLRLRL", 90},
    {"paradiddles between hat and snare", "intermediate",
     "rhythm: 16*8 _2, voices: hi-hat snare hi-hat*2 snare hi-hat snare*2", "RLRRLRLL", 90},
    {"an eighth and two sixteenths are stuck alike on every beat", "intermediate",
     "rhythm: 8 16 16 8 16 16 8 16 16 8 16 16", "RRLRRLRRLRRL", 100},
    {"triplets alternate, into the next bar of three", "intermediate",
     "time: 3/4, rhythm: 3(8*3) 3(8*3) 3(8*3), bars: 2", "RLRLRLRLRLRLRLRLRL", 120},
    {"two toms at once are struck uncrossed", "advanced", "high-tom: quarters, floor-tom: quarters",
     "bbbb", 100},
    {"a backbeat between the strokes of the hat", "intermediate",
     "subdivision: eighths, hi-hat: 1 1& 2& 3 3& 4&, snare: 2 4", "RRLRRRLR", 120},
    {"ghosts between the strokes of the hat", "advanced",
     "hi-hat: eighths, snare ghost: 1a 2e, snare: 4", "RRLRLRRRBR", 90},
};

START_TEST(hands_as_drummers_have_them)
{
    struct arena *own = arena_new();
    struct built built =
        built_right(arena_format(own, "title: T\nlevel: %s\ntempo: %u\nexercises:\n  - {%s}\n",
                                 known[_i].level, known[_i].tempo, known[_i].exercise));
    const char *hands = hands_of(&built, 0);
    ck_assert_msg(strcmp(hands, known[_i].hands) == 0, "%s: %s, not %s", known[_i].name, hands,
                  known[_i].hands);
    built_release(&built);
    arena_free(own);
}
END_TEST

/* Two hands on the hats begin with the leading one, whether they can keep up or not. */
START_TEST(sixteenth_hats_begin_with_the_leading_hand)
{
    struct arena *own = arena_new();
    static const char *const levels[] = {"intermediate", "advanced"};
    for (int left = 0; left < 2; left++)
        for (unsigned tempo = 110; tempo <= 125; tempo += 5) {
            struct built built = built_right(
                arena_format(own,
                             "title: T\nlevel: %s\ntempo: %u\nkit: {handed: %s}\n"
                             "exercises:\n  - {hi-hat: sixteenths, snare: 2 4, repeat: 4}\n",
                             levels[_i], tempo, left ? "left" : "right"));
            const char *hands = hands_of(&built, 0);
            ck_assert_msg(strncmp(hands, left ? "LRLR" : "RLRL", 4) == 0, "%s at %u: %s",
                          levels[_i], tempo, hands);
            built_release(&built);
        }
    arena_free(own);
}
END_TEST

/* Of several tempi the fastest chooses the hands, for an exercise that is repeated, too. */
START_TEST(a_range_of_tempi_has_the_hands_of_the_fastest)
{
    static const char *const tempi[] = {"90", "60-90", "60 90", "60 to 90"};
    char wanted[64] = "";
    for (size_t i = 0; i < sizeof tempi / sizeof *tempi; i++) {
        struct arena *own = arena_new();
        struct built built =
            built_right(arena_format(own,
                                     "title: T\nlevel: advanced\ntempo: %s\nexercises:\n"
                                     "  - {hi-hat: eighths, snare: 2 4 4a, repeat: %d}\n",
                                     tempi[i], _i));
        if (i == 0)
            snprintf(wanted, sizeof wanted, "%s", hands_of(&built, 0));
        ck_assert_str_eq(hands_of(&built, 0), wanted);
        play_fill_hands(built.score); /* compares with those of the slowest */
        built_release(&built);
        arena_free(own);
    }
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("player");
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, the_best_of_all_assignments_is_found);
    tcase_add_test(tcase, a_form_goes_back_as_a_repeat_does);
    tcase_add_loop_test(tcase, hands_as_drummers_have_them, 0, sizeof known / sizeof *known);
    tcase_add_loop_test(tcase, sixteenth_hats_begin_with_the_leading_hand, 0, 2);
    tcase_add_loop_test(tcase, a_range_of_tempi_has_the_hands_of_the_fastest, 1, 4);
    Suite *suite = suite_create("player");
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
