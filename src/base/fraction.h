#ifndef RATAMARK_BASE_FRACTION_H
#define RATAMARK_BASE_FRACTION_H
/*
 * Exact time. A fraction is always in lowest terms with a positive denominator. What does not fit
 * in 64 bits is not rounded: the result is FRACTION_OVERFLOW (denominator 0), which every further
 * operation passes on, so that a calculation is checked once, at its end, with fraction_ok().
 * Unit of musical time throughout the program: the whole note.
 */
#include <stdbool.h>
#include <stdint.h>

struct fraction {
    int64_t numerator, denominator;
};

#define FRACTION_ZERO ((struct fraction){0, 1})
#define FRACTION_ONE ((struct fraction){1, 1})
#define FRACTION_OVERFLOW ((struct fraction){0, 0})

/* numerator / denominator in lowest terms; overflow where the denominator is 0. */
struct fraction fraction_make(int64_t numerator, int64_t denominator);

struct fraction fraction_add(struct fraction a, struct fraction b);
struct fraction fraction_subtract(struct fraction a, struct fraction b);
struct fraction fraction_multiply(struct fraction a, struct fraction b);
/* a / b; overflow where b is zero. */
struct fraction fraction_divide(struct fraction a, struct fraction b);

/* True when the value is one, and did not overflow on its way. */
static inline bool fraction_ok(struct fraction a)
{
    return a.denominator != 0;
}

/* ratio_compare() where products need more than 64 bits. */
int ratio_compare_long(int64_t a, int64_t a_denominator, int64_t b, int64_t b_denominator);

/* Negative, zero or positive as a / a_denominator is less than, equal to or more than b /
   b_denominator, exactly, in lowest terms or not. Denominators must be positive. */
static inline int ratio_compare(int64_t a, int64_t a_denominator, int64_t b, int64_t b_denominator)
{
    int64_t left, right;
    if (__builtin_mul_overflow(a, b_denominator, &left) ||
        __builtin_mul_overflow(b, a_denominator, &right))
        return ratio_compare_long(a, a_denominator, b, b_denominator);
    return (left > right) - (left < right);
}

/* The same for fractions. Both must be ok. */
static inline int fraction_compare(struct fraction a, struct fraction b)
{
    if (a.denominator == b.denominator)
        return (a.numerator > b.numerator) - (a.numerator < b.numerator);
    return ratio_compare(a.numerator, a.denominator, b.numerator, b.denominator);
}

static inline bool fraction_equal(struct fraction a, struct fraction b)
{
    return a.numerator == b.numerator && a.denominator == b.denominator;
}

/* The largest whole number not above a. */
int64_t fraction_floor(struct fraction a);

/* For ink and sound only. */
double fraction_to_double(struct fraction a);

/* Greatest common divisor of two non-negative numbers; gcd(0, 0) is 0. */
int64_t greatest_common_divisor(int64_t a, int64_t b);
/* Least common multiple of two positive numbers; 0 where it does not fit in 64 bits. */
int64_t least_common_multiple(int64_t a, int64_t b);

#endif
