#include "base/fraction.h"

int64_t greatest_common_divisor(int64_t a, int64_t b)
{
    while (b) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

int64_t least_common_multiple(int64_t a, int64_t b)
{
    int64_t multiple;
    if (a > 0 && (a == b || b == 1))
        return a;
    if (a <= 0 || b <= 0 || __builtin_mul_overflow(a / greatest_common_divisor(a, b), b, &multiple))
        return 0;
    return multiple;
}

struct fraction fraction_make(int64_t numerator, int64_t denominator)
{
    if (denominator == 0 || numerator == INT64_MIN || denominator == INT64_MIN)
        return FRACTION_OVERFLOW;
    if (denominator < 0) {
        numerator = -numerator;
        denominator = -denominator;
    }
    if ((denominator & (denominator - 1)) == 0) { /* a power of two: nothing to divide by but two */
        int common = __builtin_ctzll((uint64_t)(numerator | denominator));
        return (struct fraction){numerator >> common, denominator >> common};
    }
    int64_t size = numerator < 0 ? -numerator : numerator;
    int64_t common = greatest_common_divisor(denominator, size);
    return (struct fraction){numerator / common, denominator / common};
}

static struct fraction add_signed(struct fraction a, struct fraction b, int64_t sign)
{
    if (!fraction_ok(a) || !fraction_ok(b))
        return FRACTION_OVERFLOW;
    /* Over the least common denominator, so that no more overflows than has to. */
    int64_t common = a.denominator == b.denominator
                         ? a.denominator
                         : greatest_common_divisor(a.denominator, b.denominator);
    int64_t widen_a = b.denominator / common, widen_b = a.denominator / common;
    int64_t left, right, sum, denominator;
    if (__builtin_mul_overflow(a.numerator, widen_a, &left) ||
        __builtin_mul_overflow(b.numerator * sign, widen_b, &right) ||
        __builtin_add_overflow(left, right, &sum) ||
        __builtin_mul_overflow(a.denominator, widen_a, &denominator))
        return FRACTION_OVERFLOW;
    return fraction_make(sum, denominator);
}

struct fraction fraction_add(struct fraction a, struct fraction b)
{
    return add_signed(a, b, 1);
}

struct fraction fraction_subtract(struct fraction a, struct fraction b)
{
    return add_signed(a, b, -1);
}

struct fraction fraction_multiply(struct fraction a, struct fraction b)
{
    if (!fraction_ok(a) || !fraction_ok(b))
        return FRACTION_OVERFLOW;
    /* Cancelling crosswise first leaves the product in lowest terms. */
    struct fraction ab = fraction_make(a.numerator, b.denominator);
    struct fraction ba = fraction_make(b.numerator, a.denominator);
    struct fraction product;
    if (__builtin_mul_overflow(ab.numerator, ba.numerator, &product.numerator) ||
        __builtin_mul_overflow(ab.denominator, ba.denominator, &product.denominator))
        return FRACTION_OVERFLOW;
    return product;
}

struct fraction fraction_divide(struct fraction a, struct fraction b)
{
    if (!fraction_ok(b) || b.numerator == 0)
        return FRACTION_OVERFLOW;
    return fraction_multiply(a, fraction_make(b.denominator, b.numerator));
}

static int64_t floor_of(int64_t numerator, int64_t denominator)
{
    return numerator / denominator - (numerator % denominator < 0);
}

/* By continued fractions: the whole parts, and where they are equal, what is left the other way up.
 */
int ratio_compare_long(int64_t a, int64_t a_denominator, int64_t b, int64_t b_denominator)
{
    int64_t whole_a = floor_of(a, a_denominator), whole_b = floor_of(b, b_denominator);
    if (whole_a != whole_b)
        return whole_a < whole_b ? -1 : 1;
    int64_t rest_a = a % a_denominator, rest_b = b % b_denominator;
    rest_a += rest_a < 0 ? a_denominator : 0;
    rest_b += rest_b < 0 ? b_denominator : 0;
    if (rest_a == 0 || rest_b == 0)
        return (rest_a > 0) - (rest_b > 0);
    return ratio_compare(b_denominator, rest_b, a_denominator, rest_a);
}

int64_t fraction_floor(struct fraction a)
{
    return floor_of(a.numerator, a.denominator);
}

double fraction_to_double(struct fraction a)
{
    return (double)a.numerator / (double)a.denominator;
}
