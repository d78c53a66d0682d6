/* Meters and their beats. */
#include "model/meter.h"
#include "suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* "1/4 1/4 3/8c": the beats of a meter, a c behind a compound one. */
static const char *beats_of(const struct meter *meter)
{
    static char words[2048];
    struct beat beats[METER_BEATS_MAX];
    size_t count = meter_beats(meter, beats), length = 0;
    struct fraction start = FRACTION_ZERO;
    for (size_t i = 0; i < count; i++) {
        ck_assert(fraction_equal(beats[i].start, start));
        start = fraction_add(start, beats[i].length);
        length += (size_t)snprintf(words + length, sizeof words - length, "%s%d/%d%s", i ? " " : "",
                                   (int)beats[i].length.numerator, (int)beats[i].length.denominator,
                                   beats[i].kind == BEAT_COMPOUND ? "c" : "");
    }
    ck_assert(fraction_equal(start, meter_length(meter)));
    return words;
}

/* Simple and compound time as any primer of theory has it; additive meters by their groups (common
   practice), 5/8 and 7/8 with the three last (ours, told in the manual). */
static const struct {
    struct meter meter;
    const char *beats;
} known[] = {
    {{.groups = {4}, .group_count = 1, .unit = 4}, "1/4 1/4 1/4 1/4"},
    {{.groups = {2}, .group_count = 1, .unit = 2}, "1/2 1/2"},
    {{.groups = {3}, .group_count = 1, .unit = 4}, "1/4 1/4 1/4"},
    {{.groups = {6}, .group_count = 1, .unit = 8}, "3/8c 3/8c"},
    {{.groups = {9}, .group_count = 1, .unit = 8}, "3/8c 3/8c 3/8c"},
    {{.groups = {12}, .group_count = 1, .unit = 8}, "3/8c 3/8c 3/8c 3/8c"},
    {{.groups = {3}, .group_count = 1, .unit = 8}, "3/8c"},
    {{.groups = {6}, .group_count = 1, .unit = 16}, "3/16c 3/16c"},
    {{.groups = {5}, .group_count = 1, .unit = 8}, "1/4 3/8c"},
    {{.groups = {7}, .group_count = 1, .unit = 8}, "1/4 1/4 3/8c"},
    {{.groups = {4}, .group_count = 1, .unit = 8}, "1/4 1/4"},
    {{.groups = {1}, .group_count = 1, .unit = 8}, "1/8"},
    {{.groups = {2, 2, 3}, .group_count = 3, .unit = 8}, "1/4 1/4 3/8c"},
    {{.groups = {3, 2, 2}, .group_count = 3, .unit = 8}, "3/8c 1/4 1/4"},
    {{.groups = {3, 2}, .group_count = 2, .unit = 4}, "1/4 1/4 1/4 1/4 1/4"},
    {{.groups = {4, 1}, .group_count = 2, .unit = 8}, "1/2 1/8"},
    {{.groups = {6, 2}, .group_count = 2, .unit = 16}, "3/8c 1/8"},
    {{.groups = {5, 2}, .group_count = 2, .unit = 8}, "1/4 3/8c 1/4"},
};

START_TEST(a_meter_has_these_beats)
{
    ck_assert_str_eq(beats_of(&known[_i].meter), known[_i].beats);
}
END_TEST

/* However a meter is written, its beats fill it: beats_of() checks. */
START_TEST(beats_always_fill_the_bar)
{
    static const uint8_t units[] = {1, 2, 4, 8, 16, 32};
    for (size_t unit = 0; unit < sizeof units; unit++)
        for (uint8_t first = 1; first <= 32; first++)
            for (uint8_t second = 0; second <= 32; second++) {
                struct meter meter = {
                    .groups = {first, second}, .group_count = second ? 2 : 1, .unit = units[unit]};
                beats_of(&meter);
            }
}
END_TEST

START_TEST(meters_are_equal_where_they_are_written_alike)
{
    struct meter a = {.groups = {2, 2, 3}, .group_count = 3, .unit = 8}, b = a;
    b.at.line = 9;
    ck_assert(meter_equal(&a, &b));
    b.groups[1] = 3;
    ck_assert(!meter_equal(&a, &b));
    ck_assert(!meter_equal(&a, &(struct meter){.groups = {7}, .group_count = 1, .unit = 8}));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("meter");
    tcase_add_loop_test(cases, a_meter_has_these_beats, 0, (int)(sizeof known / sizeof *known));
    tcase_add_test(cases, beats_always_fill_the_bar);
    tcase_add_test(cases, meters_are_equal_where_they_are_written_alike);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("meter");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
