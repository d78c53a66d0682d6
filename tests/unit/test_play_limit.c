/*
 * The limit in closed form against bisection over a checker (limit_checker.h). It shares with the
 * program the rows of strokes alone, and those it takes longer than the program does, with repeats
 * gone through more often.
 */
#include "../generate/generate.h"
#include "built.h"

#include "base/buffer.h"
#include "limit_checker.h"
#include "play/play.h"
#include "suite.h"

#include <check.h>

enum { EXERCISES = 5000, LONG_REPEATS = 24 };

/* ---- the comparison ----------------------------------------------------------------------- */

/* The highest tempo in tenths of quarters a minute at which all holds; 0: none up to a million. */
static uint32_t bisect(struct checker *checker)
{
    struct prepared prepared;
    checker_prepare(checker, &prepared);
    uint32_t low = 0, high = 10000000;
    while (high - low > 1) {
        uint32_t middle = low + (high - low) / 2;
        checker->tick_ms = 600000.0 / middle / (double)checker->timeline->quarter;
        *(checker_holds(checker, &prepared) ? &low : &high) = middle;
    }
    checker_release(&prepared);
    return low;
}

static void compare(struct built *built, const struct score_exercise *exercise, uint64_t seed,
                    size_t counts[4])
{
    const struct verdict *verdict = exercise->verdict;
    counts[verdict->kind]++;
    if (verdict->kind != VERDICT_TEMPO)
        return;
    struct reach reach;
    struct timeline timeline = {.quarter = 0};
    reach_make(&reach, built->score, verdict->limits, built->arena);
    timeline_make(&timeline, built->score, exercise, &reach, LONG_REPEATS);
    struct checker checker = {&timeline, &built->lesson->kit, verdict->limits->values, 0};
    if (!timeline.too_long) {
        uint32_t found = bisect(&checker);
        ck_assert_msg(found == verdict->max_tenths,
                      "seed %llu, exercise %u: %u tenths by bisection, %u in closed form (%s)",
                      (unsigned long long)seed, exercise->number, found, verdict->max_tenths,
                      move_word((enum move_kind)verdict->limit.kind));
    }
    timeline_release(&timeline);
}

/* Writes the hands that were chosen, as if the file had their letters. */
static size_t write_hands(struct note *note)
{
    if (note->letter || !(note->proposed & NOTE_PROPOSED))
        return 0;
    for (size_t i = note->hit_count; i-- > 0;)
        if (note->hits[i].limb == LIMB_HAND) {
            bool left = note->proposed >> i & 1;
            note->hits[i].limb = left ? LIMB_LEFT_HAND : LIMB_RIGHT_HAND;
            note->letter = left ? 'L' : 'R';
        }
    if (note->hits[0].limb == LIMB_LEFT_HAND) /* graces were as for the right hand */
        note->graces = (uint8_t)(~note->graces & ((1u << note->grace_count) - 1u));
    return 1;
}

static size_t write_all_hands(struct score *score)
{
    size_t written = 0;
    for (size_t e = 0; e < score->exercise_count; e++)
        for (size_t b = 0; b < score->exercises[e].bar_count; b++) {
            struct score_line *line = &score->exercises[e].bars[b].lines[LINE_HANDS];
            for (uint32_t i = 0; i < line->leaf_count; i++)
                if (leaf_struck(&line->leaves[i]))
                    written += write_hands(line->leaves[i].note);
        }
    return written;
}

/* Tenths of a quarter a minute; 0: at no tempo. */
static uint32_t fastest(const struct verdict *verdict)
{
    return verdict->kind == VERDICT_UNLIMITED ? UINT32_MAX : verdict->max_tenths;
}

/* A lesson's verdicts with the chosen hands written are not better than without. */
static void judge_as_written(struct built *built, const struct play_options *options, uint64_t seed)
{
    size_t count = built->score->exercise_count;
    uint32_t *open = arena_array(built->arena, count, sizeof *open);
    play_check(built->score, options, NULL);
    for (size_t i = 0; i < count; i++)
        if (built->score->exercises[i].verdict)
            open[i] = fastest(built->score->exercises[i].verdict);
    if (!write_all_hands(built->score))
        return;
    play_check(built->score, options, NULL);
    for (size_t i = 0; i < count; i++)
        if (built->score->exercises[i].verdict)
            ck_assert_msg(fastest(built->score->exercises[i].verdict) <= open[i],
                          "seed %llu, exercise %zu: %u as written, %u before",
                          (unsigned long long)seed, i + 1,
                          fastest(built->score->exercises[i].verdict), open[i]);
}

START_TEST(closed_form_equals_bisection)
{
    size_t counts[4] = {0}, exercises = 0;
    for (uint64_t seed = 1; exercises < EXERCISES; seed++) {
        struct arena *arena = arena_new();
        struct built built = built_right(generate_lesson(arena, seed));
        struct play_options options = {.limits =
                                           limits_builtin((enum player_level)(seed % LEVEL_COUNT))};
        judge_as_written(&built, &options, seed);
        for (size_t i = 0; i < built.score->exercise_count && exercises < EXERCISES; i++) {
            if (!built.score->exercises[i].verdict)
                continue;
            compare(&built, &built.score->exercises[i], seed, counts);
            exercises++;
        }
        built_release(&built);
        arena_free(arena);
    }
    ck_assert_uint_gt(counts[VERDICT_TEMPO], EXERCISES / 2);
    ck_assert_uint_eq(counts[VERDICT_UNKNOWN], 0);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("play_limit");
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, closed_form_equals_bisection);
    Suite *suite = suite_create("play_limit");
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
