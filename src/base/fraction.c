#include "base/fraction.h"

__extension__ typedef __int128 wide; /* products for comparing, which need no 64 bits */

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

int fraction_compare_wide(int64_t a, int64_t a_denominator, int64_t b, int64_t b_denominator)
{
    wide left = (wide)a * b_denominator;
    wide right = (wide)b * a_denominator;
    return (left > right) - (left < right);
}

int64_t fraction_floor(struct fraction a)
{
    int64_t whole = a.numerator / a.denominator;
    return a.numerator % a.denominator < 0 ? whole - 1 : whole;
}

double fraction_to_double(struct fraction a)
{
    return (double)a.numerator / (double)a.denominator;
}
