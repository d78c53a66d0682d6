/* What is spoken in a beat. */
#include "model/counting.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/*
 * eastman: McHose and Tibbs, Sight-Singing Manual (Eastman School of Music): "1 te", "1 ta te ta",
 * "1 la li", "1 ta la ta li ta"; every other part of a beat is "ta". From memory.
 * takadimi: Hoffman, Pelto and White (1996): "ta di", "ta ka di mi", "ta ki da", "ta va ki di da
 * ma", "ta ka di mi ti" for five, "ta va ki di da ma ti" for seven. From memory.
 * english: common practice of drum teachers.
 */
static const struct {
    const char *system;
    enum subdivision subdivision;
    enum beat_kind kind;
    const char *spoken;
} facts[] = {
    {"english", SUBDIVISION_QUARTERS, BEAT_SIMPLE, "#"},
    {"english", SUBDIVISION_EIGHTHS, BEAT_SIMPLE, "# &"},
    {"english", SUBDIVISION_EIGHTH_TRIPLETS, BEAT_SIMPLE, "# trip let"},
    {"english", SUBDIVISION_SIXTEENTHS, BEAT_SIMPLE, "# e & a"},
    {"english", SUBDIVISION_SIXTEENTH_TRIPLETS, BEAT_SIMPLE, "# trip let & trip let"},
    {"english", SUBDIVISION_QUINTUPLETS, BEAT_SIMPLE, "# 2 3 4 5"},
    {"english", SUBDIVISION_EIGHTHS, BEAT_COMPOUND, "# & a"},
    {"english", SUBDIVISION_SIXTEENTHS, BEAT_COMPOUND, "# ta & ta a ta"},
    {"eastman", SUBDIVISION_EIGHTHS, BEAT_SIMPLE, "# te"},
    {"eastman", SUBDIVISION_SIXTEENTHS, BEAT_SIMPLE, "# ta te ta"},
    {"eastman", SUBDIVISION_EIGHTH_TRIPLETS, BEAT_SIMPLE, "# la li"},
    {"eastman", SUBDIVISION_EIGHTHS, BEAT_COMPOUND, "# la li"},
    {"eastman", SUBDIVISION_SIXTEENTHS, BEAT_COMPOUND, "# ta la ta li ta"},
    {"eastman", SUBDIVISION_SEXTUPLETS, BEAT_SIMPLE, "# ta la ta li ta"},
    {"eastman", SUBDIVISION_THIRTY_SECONDS, BEAT_SIMPLE, "# ta ta ta te ta ta ta"},
    {"eastman", SUBDIVISION_QUINTUPLETS, BEAT_SIMPLE, "# ta ta ta ta"},
    {"eastman", SUBDIVISION_DUPLETS, BEAT_COMPOUND, "# te"},
    {"takadimi", SUBDIVISION_QUARTERS, BEAT_SIMPLE, "ta"},
    {"takadimi", SUBDIVISION_EIGHTHS, BEAT_SIMPLE, "ta di"},
    {"takadimi", SUBDIVISION_SIXTEENTHS, BEAT_SIMPLE, "ta ka di mi"},
    {"takadimi", SUBDIVISION_EIGHTH_TRIPLETS, BEAT_SIMPLE, "ta ki da"},
    {"takadimi", SUBDIVISION_EIGHTHS, BEAT_COMPOUND, "ta ki da"},
    {"takadimi", SUBDIVISION_SIXTEENTHS, BEAT_COMPOUND, "ta va ki di da ma"},
    {"takadimi", SUBDIVISION_SEXTUPLETS, BEAT_SIMPLE, "ta va ki di da ma"},
    {"takadimi", SUBDIVISION_SIXTEENTH_TRIPLETS, BEAT_SIMPLE, "ta va ki di da ma"},
    {"takadimi", SUBDIVISION_QUINTUPLETS, BEAT_SIMPLE, "ta ka di mi ti"},
    {"takadimi", SUBDIVISION_SEPTUPLETS, BEAT_SIMPLE, "ta va ki di da ma ti"},
    {"takadimi", SUBDIVISION_DUPLETS, BEAT_COMPOUND, "ta di"},
    {"takadimi", SUBDIVISION_QUADRUPLETS, BEAT_COMPOUND, "ta ka di mi"},
};

static const char *joined(const char *system, enum subdivision subdivision, const struct beat *beat)
{
    static char words[256];
    struct division division;
    const struct counting *counting = counting_find(system, strlen(system));
    ck_assert_ptr_nonnull(counting);
    const char *const *spoken = counting_spoken(counting, subdivision, beat);
    ck_assert_msg(spoken != NULL, "%s says nothing for %s", system, subdivision_name(subdivision));
    ck_assert(subdivision_divide(subdivision, beat, &division));
    words[0] = '\0';
    for (unsigned i = 0; i < division.slots; i++) {
        strcat(words, i ? " " : "");
        strcat(words, spoken[i]);
    }
    return words;
}

START_TEST(a_system_says_so)
{
    struct beat beat = counting_usual_beat(facts[_i].kind);
    ck_assert_str_eq(joined(facts[_i].system, facts[_i].subdivision, &beat), facts[_i].spoken);
}
END_TEST

/* Each system has a word for each slot of whatever divides the usual beats. */
START_TEST(no_slot_is_without_a_word)
{
    for (size_t system = 0; system < COUNTING_COUNT; system++)
        for (int kind = BEAT_SIMPLE; kind <= BEAT_COMPOUND; kind++)
            for (int i = 0; i < SUBDIVISION_COUNT; i++) {
                struct beat beat = counting_usual_beat((enum beat_kind)kind);
                struct division division;
                if (subdivision_divide((enum subdivision)i, &beat, &division))
                    ck_assert_uint_gt(
                        strlen(joined(counting_names[system], (enum subdivision)i, &beat)), 0);
            }
}
END_TEST

/* Two half notes to the bar: the eighths, four to a beat, are counted as sixteenths are in 4/4. */
START_TEST(beats_of_other_lengths_are_counted_by_how_they_divide)
{
    struct beat half = {{0, 1}, {1, 2}, BEAT_SIMPLE};
    struct beat dotted_eighth = {{0, 1}, {3, 16}, BEAT_COMPOUND};
    ck_assert_str_eq(joined("english", SUBDIVISION_QUARTERS, &half), "# &");
    ck_assert_str_eq(joined("english", SUBDIVISION_EIGHTHS, &half), "# e & a");
    ck_assert_str_eq(joined("english", SUBDIVISION_QUINTUPLETS, &half), "# 2 3 4 5");
    ck_assert_str_eq(joined("english", SUBDIVISION_SIXTEENTHS, &dotted_eighth), "# & a");
}
END_TEST

/* Thirds in halves: in eastman and takadimi the six of their publications. english: common
   practice, as its compound sixteenths have it. */
START_TEST(halved_thirds_keep_the_syllables_of_the_thirds)
{
    static const char *const six[][2] = {{"english", "# ta trip ta let ta"},
                                         {"eastman", "# ta la ta li ta"},
                                         {"takadimi", "ta va ki di da ma"},
                                         {"units", "# ta trip ta let ta"}};
    for (size_t i = 0; i < sizeof six / sizeof *six; i++) {
        char words[64] = "", thirds[3][8];
        struct beat beat = counting_usual_beat(BEAT_SIMPLE);
        ck_assert_int_eq(sscanf(joined(six[i][0], SUBDIVISION_EIGHTH_TRIPLETS, &beat),
                                "%7s %7s %7s", thirds[0], thirds[1], thirds[2]),
                         3);
        const char *const *between = counting_find(six[i][0], strlen(six[i][0]))->between;
        for (int third = 0; third < 3; third++)
            snprintf(words + strlen(words), sizeof words - strlen(words), "%s%s %s",
                     third ? " " : "", thirds[third], between[third]);
        ck_assert_str_eq(words, six[i][1]);
    }
}
END_TEST

START_TEST(systems_are_found_by_name)
{
    ck_assert_ptr_eq(counting_find("English", 7), counting_default());
    ck_assert_ptr_null(counting_find("englis", 6));
    ck_assert_ptr_null(counting_find("", 0));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("counting");
    tcase_add_loop_test(cases, a_system_says_so, 0, (int)(sizeof facts / sizeof *facts));
    tcase_add_test(cases, no_slot_is_without_a_word);
    tcase_add_test(cases, beats_of_other_lengths_are_counted_by_how_they_divide);
    tcase_add_test(cases, halved_thirds_keep_the_syllables_of_the_thirds);
    tcase_add_test(cases, systems_are_found_by_name);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("counting");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
