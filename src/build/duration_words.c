#include "build/duration_words.h"

#include "base/buffer.h"
#include "build/spelling.h"

enum { TERMS_MAX = 3 };

static const char *const value_names[] = {"whole note", "half",          "quarter",     "eighth",
                                          "sixteenth",  "thirty-second", "sixty-fourth"};
enum { VALUE_NAMES = sizeof value_names / sizeof *value_names };

/* A note of a tuplet, such as a triplet sixteenth, is its written value times `normal` / `actual`.
   Only plain notes, in the first row, may have a dot. */
static const struct {
    const char *name;
    int actual, normal, dots_most;
} kinds[] = {
    {"", 1, 1, 1}, {"triplet ", 3, 2, 0}, {"quintuplet ", 5, 4, 0}, {"septuplet ", 7, 4, 0}};

static const char *one_value(struct arena *arena, struct fraction length)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        uint8_t value_log2, dots;
        struct fraction written =
            fraction_multiply(length, fraction_make(kinds[i].actual, kinds[i].normal));
        if (!fraction_ok(written) ||
            !spelling_value(written, kinds[i].dots_most, &value_log2, &dots) ||
            value_log2 >= VALUE_NAMES)
            continue;
        const char *name = value_names[value_log2], *kind = dots ? "dotted " : kinds[i].name;
        return arena_format(arena, "%s %s%s", !*kind && *name == 'e' ? "an" : "a", kind, name);
    }
    return NULL;
}

/* The largest plain value below the length: half or less of it is left. */
static struct fraction largest_below(struct fraction length)
{
    for (int log2 = 0; log2 < VALUE_NAMES; log2++) {
        struct fraction value = fraction_make(1, (int64_t)1 << log2);
        if (fraction_compare(value, length) < 0)
            return value;
    }
    return length;
}

/* Fills `terms` with at most TERMS_MAX note values that add up to the length; 0 if none do. */
static size_t few_values(struct arena *arena, struct fraction length, const char **terms)
{
    size_t count = 0;
    int64_t wholes = fraction_floor(length);
    if (wholes > 1) {
        terms[count++] = arena_format(arena, "%lld whole notes", (long long)wholes);
        length = fraction_subtract(length, fraction_make(wholes, 1));
    }
    while (length.numerator > 0 && count < TERMS_MAX) {
        terms[count] = one_value(arena, length);
        if (terms[count])
            return count + 1;
        struct fraction part = largest_below(length);
        if (fraction_equal(part, length))
            return 0;
        terms[count++] = one_value(arena, part);
        length = fraction_subtract(length, part);
    }
    return length.numerator == 0 ? count : 0;
}

const char *duration_words(struct arena *arena, struct fraction length)
{
    const char *terms[TERMS_MAX + 1];
    size_t count = few_values(arena, length, terms);
    struct buffer text = {0};
    for (size_t i = 0; i < count; i++)
        buffer_format(&text, "%s%s", i == 0 ? "" : i + 1 == count ? " and " : ", ", terms[i]);
    if (count)
        return buffer_keep(&text, arena);
    struct fraction quarters = fraction_multiply(length, fraction_make(4, 1));
    return arena_format(arena, "%lld/%lld of a quarter", (long long)quarters.numerator,
                        (long long)quarters.denominator);
}

const char *duration_in_units(struct arena *arena, struct fraction length,
                              const struct meter *meter)
{
    struct fraction units = fraction_multiply(length, fraction_make(meter->unit, 1));
    if (!fraction_ok(units))
        return "too much to count";
    int64_t whole = fraction_floor(units);
    struct fraction rest = fraction_subtract(units, fraction_make(whole, 1));
    unsigned log2 = (unsigned)__builtin_ctz(meter->unit);
    const char *name = log2 == 1 ? "halve" : value_names[log2];
    bool one = fraction_equal(units, FRACTION_ONE);
    const char *unit = one && log2 == 1 ? "half" : name, *plural = one ? "" : "s";
    struct buffer text = {0};
    if (whole || rest.numerator == 0)
        buffer_format(&text, "%lld ", (long long)whole);
    if (rest.numerator)
        buffer_format(&text, "%lld/%lld ", (long long)rest.numerator, (long long)rest.denominator);
    buffer_format(&text, "%s%s", unit, plural);
    return buffer_keep(&text, arena);
}

const char *meter_words(struct arena *arena, const struct meter *meter)
{
    struct buffer text = {0};
    for (size_t i = 0; i < meter->group_count; i++)
        buffer_format(&text, "%s%u", i ? "+" : "", meter->groups[i]);
    buffer_format(&text, "/%u", meter->unit);
    return buffer_keep(&text, arena);
}
