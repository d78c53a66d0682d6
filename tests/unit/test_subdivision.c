/* Subdivisions of the beat. */
#include "model/counting.h"
#include "model/subdivision.h"
#include "suite.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const struct beat quarter = {{0, 1}, {1, 4}, BEAT_SIMPLE};
static const struct beat half = {{0, 1}, {1, 2}, BEAT_SIMPLE};
static const struct beat eighth = {{0, 1}, {1, 8}, BEAT_SIMPLE};
static const struct beat dotted_quarter = {{0, 1}, {3, 8}, BEAT_COMPOUND};
static const struct beat dotted_eighth = {{0, 1}, {3, 16}, BEAT_COMPOUND};

/* Slots to a beat (0: does not fit), the beats they span, and how a slot is written: facts of
   notation that any handbook has (common practice). */
static const struct {
    const char *name;
    const struct beat *beat;
    unsigned slots, span, actual, normal, tuplets, value_log2;
} facts[] = {
    {"quarters", &quarter, 1, 1, 0, 0, 0, 2},
    {"eighths", &quarter, 2, 1, 0, 0, 0, 3},
    {"eighth triplets", &quarter, 3, 1, 3, 2, 1, 3},
    {"sixteenths", &quarter, 4, 1, 0, 0, 0, 4},
    {"quintuplets", &quarter, 5, 1, 5, 4, 1, 4},
    {"sixteenth triplets", &quarter, 6, 1, 3, 2, 2, 4},
    {"sextuplets", &quarter, 6, 1, 6, 4, 1, 4},
    {"septuplets", &quarter, 7, 1, 7, 4, 1, 4},
    {"thirty-seconds", &quarter, 8, 1, 0, 0, 0, 5},
    {"quarter triplets", &quarter, 3, 2, 3, 2, 1, 2},
    {"duplets", &quarter, 0, 0, 0, 0, 0, 0},
    {"quadruplets", &quarter, 0, 0, 0, 0, 0, 0},
    {"quarters", &half, 2, 1, 0, 0, 0, 2},
    {"eighths", &half, 4, 1, 0, 0, 0, 3},
    {"quarter triplets", &half, 3, 1, 3, 2, 1, 2},
    {"eighth triplets", &half, 6, 1, 3, 2, 2, 3},
    {"quintuplets", &half, 5, 1, 5, 4, 1, 3},
    {"quarters", &eighth, 0, 0, 0, 0, 0, 0},
    {"eighths", &eighth, 1, 1, 0, 0, 0, 3},
    {"sixteenths", &eighth, 2, 1, 0, 0, 0, 4},
    {"sixteenth triplets", &eighth, 3, 1, 3, 2, 1, 4},
    {"eighths", &dotted_quarter, 3, 1, 0, 0, 0, 3},
    {"sixteenths", &dotted_quarter, 6, 1, 0, 0, 0, 4},
    {"thirty-seconds", &dotted_quarter, 12, 1, 0, 0, 0, 5},
    {"duplets", &dotted_quarter, 2, 1, 2, 3, 1, 3},
    {"quadruplets", &dotted_quarter, 4, 1, 4, 3, 1, 3},
    {"quarters", &dotted_quarter, 0, 0, 0, 0, 0, 0},
    {"eighth triplets", &dotted_quarter, 0, 0, 0, 0, 0, 0},
    {"quintuplets", &dotted_quarter, 0, 0, 0, 0, 0, 0},
    {"sixteenths", &dotted_eighth, 3, 1, 0, 0, 0, 4},
};

static enum subdivision named(const char *name)
{
    enum subdivision subdivision;
    ck_assert_msg(subdivision_from_name(name, strlen(name), &subdivision), "no '%s'", name);
    return subdivision;
}

START_TEST(a_beat_divides_so)
{
    struct division division;
    bool fits = subdivision_divide(named(facts[_i].name), facts[_i].beat, &division);
    ck_assert_int_eq(fits, facts[_i].slots != 0);
    if (!fits)
        return;
    ck_assert_uint_eq(division.slots, facts[_i].slots);
    ck_assert_uint_eq(division.beats, facts[_i].span);
    ck_assert_uint_eq(division.tuplet_actual, facts[_i].actual);
    ck_assert_uint_eq(division.tuplet_normal, facts[_i].normal);
    ck_assert_uint_eq(division.tuplet_count, facts[_i].tuplets);
    ck_assert_uint_eq(division.value_log2, facts[_i].value_log2);
}
END_TEST

/* Whatever fits fills its span exactly, and its written values add up to it. */
START_TEST(slots_fill_their_span)
{
    static const struct beat *const beats[] = {&quarter, &half, &eighth, &dotted_quarter,
                                               &dotted_eighth};
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        for (size_t b = 0; b < sizeof beats / sizeof *beats; b++) {
            struct division division;
            if (!subdivision_divide((enum subdivision)i, beats[b], &division))
                continue;
            struct fraction span =
                fraction_multiply(beats[b]->length, fraction_make(division.beats, 1));
            ck_assert(fraction_equal(
                fraction_multiply(division.slot, fraction_make(division.slots, 1)), span));
            struct fraction written = fraction_make(1, (int64_t)1 << division.value_log2);
            if (division.tuplet_actual)
                written = fraction_multiply(
                    written, fraction_make(division.tuplet_normal, division.tuplet_actual));
            ck_assert(fraction_equal(written, division.slot));
        }
}
END_TEST

/* Common practice: six sixteenth-triplet notes a beat, 24 a bar of 4/4. */
START_TEST(a_bar_of_sixteenth_triplets_has_24)
{
    struct division division;
    ck_assert(subdivision_divide(SUBDIVISION_SIXTEENTH_TRIPLETS, &quarter, &division));
    ck_assert_uint_eq(division.slots * 4u, 24);
}
END_TEST

static const struct {
    const char *spelling, *name;
} spellings[] = {
    {"8ths", "eighths"},
    {"16th triplets", "sixteenth triplets"},
    {"Sixteenth Triplet", "sixteenth triplets"},
    {"EIGHTHS", "eighths"},
    {"eighth", "eighths"},
    {"4th triplets", "quarter triplets"},
    {"32nds", "thirty-seconds"},
    {"thirty seconds", "thirty-seconds"},
    {"thirty-second", "thirty-seconds"},
    {"quintuplet", "quintuplets"},
    {"triplets", "eighth triplets"},
    {"eighth-triplets", "eighth triplets"},
};

START_TEST(spellings_mean_the_same)
{
    ck_assert_str_eq(subdivision_name(named(spellings[_i].spelling)), spellings[_i].name);
}
END_TEST

START_TEST(every_name_finds_itself_and_others_nothing)
{
    static const char *const none[] = {
        "", "s", "eight", "8", "64ths", "sixteenth triplets please", "triplet triplets"};
    for (int i = 0; i < SUBDIVISION_COUNT; i++)
        ck_assert_int_eq(named(subdivision_name((enum subdivision)i)), i);
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        enum subdivision subdivision;
        ck_assert_msg(!subdivision_from_name(none[i], strlen(none[i]), &subdivision), "'%s'",
                      none[i]);
    }
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("subdivision");
    tcase_add_loop_test(cases, a_beat_divides_so, 0, (int)(sizeof facts / sizeof *facts));
    tcase_add_test(cases, slots_fill_their_span);
    tcase_add_test(cases, a_bar_of_sixteenth_triplets_has_24);
    tcase_add_loop_test(cases, spellings_mean_the_same, 0,
                        (int)(sizeof spellings / sizeof *spellings));
    tcase_add_test(cases, every_name_finds_itself_and_others_nothing);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("subdivision");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
