/*
 * Exact fractions against GMP's rationals (GNU multiple precision arithmetic library, Debian
 * package libgmp-dev: a general-purpose implementation of its own), and the numbers of the trade.
 */
#include "base/fraction.h"
#include "suite.h"

#include <check.h>
#include <gmp.h>
#include <inttypes.h>
#include <stdlib.h>

/* A fixed sequence: the same numbers in every run (the constants are Knuth's MMIX). */
static uint64_t next_random(uint64_t *state)
{
    *state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return *state >> 33;
}

static struct fraction random_fraction(uint64_t *state, int64_t most)
{
    int64_t numerator = (int64_t)next_random(state) % (2 * most + 1) - most;
    int64_t denominator = (int64_t)next_random(state) % most + 1;
    return fraction_make(numerator, denominator);
}

static void rational_of(mpq_t rational, struct fraction fraction)
{
    mpq_set_si(rational, fraction.numerator, (unsigned long)fraction.denominator);
    mpq_canonicalize(rational);
}

/* Equal in value, and in lowest terms as GMP has them; where GMP's do not fit in 64 bits, ours must
   say so. */
static void assert_agrees(struct fraction ours, const mpq_t theirs)
{
    bool fits = mpz_fits_slong_p(mpq_numref(theirs)) && mpz_fits_slong_p(mpq_denref(theirs));
    ck_assert_int_eq(fraction_ok(ours), fits);
    if (!fits)
        return;
    ck_assert_int_eq(ours.numerator, mpz_get_si(mpq_numref(theirs)));
    ck_assert_int_eq(ours.denominator, mpz_get_si(mpq_denref(theirs)));
}

static void compare_operations(struct fraction a, struct fraction b)
{
    mpq_t x, y, result;
    mpq_inits(x, y, result, NULL);
    rational_of(x, a);
    rational_of(y, b);
    mpq_add(result, x, y);
    assert_agrees(fraction_add(a, b), result);
    mpq_sub(result, x, y);
    assert_agrees(fraction_subtract(a, b), result);
    mpq_mul(result, x, y);
    assert_agrees(fraction_multiply(a, b), result);
    if (b.numerator) {
        mpq_div(result, x, y);
        assert_agrees(fraction_divide(a, b), result);
    }
    int sign = mpq_cmp(x, y);
    int ours = fraction_compare(a, b);
    ck_assert_int_eq((ours > 0) - (ours < 0), (sign > 0) - (sign < 0));
    mpq_clears(x, y, result, NULL);
}

START_TEST(small_fractions_agree_with_gmp)
{
    uint64_t state = 1;
    for (int i = 0; i < 20000; i++)
        compare_operations(random_fraction(&state, 200), random_fraction(&state, 200));
}
END_TEST

/* Of this size sums and products often do not fit. */
START_TEST(large_fractions_agree_with_gmp_or_say_that_they_do_not_fit)
{
    uint64_t state = 2;
    for (int i = 0; i < 20000; i++)
        compare_operations(random_fraction(&state, INT32_MAX - 1),
                           random_fraction(&state, INT32_MAX - 1));
}
END_TEST

/* From 1 bit to 60. */
static int64_t random_size(uint64_t *state)
{
    uint64_t bits = next_random(state) << 29 ^ next_random(state);
    return (int64_t)(bits >> next_random(state) % 60);
}

static void compare_ratios(int64_t a, int64_t under_a, int64_t b, int64_t under_b)
{
    mpz_t left, right;
    mpz_inits(left, right, NULL);
    mpz_set_si(left, a);
    mpz_mul_si(left, left, under_b);
    mpz_set_si(right, b);
    mpz_mul_si(right, right, under_a);
    int sign = mpz_cmp(left, right), ours = ratio_compare(a, under_a, b, under_b);
    ck_assert_msg((ours > 0) - (ours < 0) == (sign > 0) - (sign < 0),
                  "%" PRId64 "/%" PRId64 " and %" PRId64 "/%" PRId64, a, under_a, b, under_b);
    mpz_clears(left, right, NULL);
}

/* Products of up to 122 bits: ratios of any size, and such as are equal or nearly so. */
START_TEST(ratios_of_any_size_are_compared_as_gmp_does)
{
    uint64_t state = 4;
    for (int i = 0; i < 20000; i++) {
        int64_t sign = next_random(&state) % 2 ? 1 : -1, factor = 1 + (int64_t)(i % 3);
        int64_t a = sign * random_size(&state), under = random_size(&state) + 1;
        compare_ratios(a, under, sign * random_size(&state), random_size(&state) + 1);
        compare_ratios(a, under, a * factor, under * factor);
        compare_ratios(a, under, a * factor + 1, under * factor);
        compare_ratios(a, under, a * factor - 1, under * factor + 1);
    }
}
END_TEST

START_TEST(an_overflow_is_passed_on)
{
    struct fraction half = fraction_make(1, 2);
    struct fraction large = fraction_make(INT64_MAX, 1);
    struct fraction over = fraction_multiply(large, large);
    ck_assert(!fraction_ok(over));
    ck_assert(!fraction_ok(fraction_add(over, half)));
    ck_assert(!fraction_ok(fraction_subtract(half, over)));
    ck_assert(!fraction_ok(fraction_multiply(over, half)));
    ck_assert(!fraction_ok(fraction_divide(half, over)));
    ck_assert(!fraction_ok(fraction_make(1, 0)));
    ck_assert(!fraction_ok(fraction_divide(half, FRACTION_ZERO)));
}
END_TEST

START_TEST(the_floor_goes_down_also_below_zero)
{
    ck_assert_int_eq(fraction_floor(fraction_make(7, 2)), 3);
    ck_assert_int_eq(fraction_floor(fraction_make(-7, 2)), -4);
    ck_assert_int_eq(fraction_floor(fraction_make(-4, 2)), -2);
    ck_assert_int_eq(fraction_floor(FRACTION_ZERO), 0);
}
END_TEST

START_TEST(divisors_and_multiples_agree_with_gmp)
{
    uint64_t state = 3;
    mpz_t a, b, result;
    mpz_inits(a, b, result, NULL);
    for (int i = 0; i < 5000; i++) {
        int64_t x = (int64_t)next_random(&state) + 1, y = (int64_t)next_random(&state) + 1;
        mpz_set_si(a, x);
        mpz_set_si(b, y);
        mpz_gcd(result, a, b);
        ck_assert_int_eq(greatest_common_divisor(x, y), mpz_get_si(result));
        mpz_lcm(result, a, b);
        int64_t multiple = mpz_fits_slong_p(result) ? mpz_get_si(result) : 0;
        ck_assert_int_eq(least_common_multiple(x, y), multiple);
    }
    mpz_clears(a, b, result, NULL);
    ck_assert_int_eq(greatest_common_divisor(0, 0), 0);
    ck_assert_int_eq(greatest_common_divisor(0, 9), 9);
}
END_TEST

/* A sticking of C on a grid of S lines up again after lcm(C, S) / S bars. Common practice: six over
   sixteen in three bars, five over sixteen in five, eight over twenty-four in one. */
START_TEST(stickings_come_home_when_they_do)
{
    ck_assert_int_eq(least_common_multiple(6, 16) / 16, 3);
    ck_assert_int_eq(least_common_multiple(5, 16) / 16, 5);
    ck_assert_int_eq(least_common_multiple(8, 24) / 24, 1);
    ck_assert_int_eq(least_common_multiple(8, 24) / 8, 3);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("fraction");
    tcase_add_test(cases, small_fractions_agree_with_gmp);
    tcase_add_test(cases, large_fractions_agree_with_gmp_or_say_that_they_do_not_fit);
    tcase_add_test(cases, ratios_of_any_size_are_compared_as_gmp_does);
    tcase_add_test(cases, an_overflow_is_passed_on);
    tcase_add_test(cases, the_floor_goes_down_also_below_zero);
    tcase_add_test(cases, divisors_and_multiples_agree_with_gmp);
    tcase_add_test(cases, stickings_come_home_when_they_do);
    tcase_set_timeout(cases, 60);
    Suite *suite = suite_create("fraction");
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
