#include "build/duration_words.h"

#include "base/buffer.h"
#include "build/spelling.h"

enum { TERMS_MAX = 3 };

static const char *const value_names[] = {"whole note", "half",          "quarter",     "eighth",
                                          "sixteenth",  "thirty-second", "sixty-fourth"};
enum { VALUE_NAMES = sizeof value_names / sizeof *value_names };

/* A note of a tuplet, such as a triplet sixteenth, is its written value times `normal` / `actual`.
 */
static const struct {
    const char *name;
    int actual, normal;
} tuplets[] = {{"triplet", 3, 2}, {"quintuplet", 5, 4}, {"septuplet", 7, 4}};

static const char *one_value(struct arena *arena, struct fraction length)
{
    uint8_t value_log2, dots;
    if (spelling_value(length, 1, &value_log2, &dots) && value_log2 < VALUE_NAMES) {
        const char *name = value_names[value_log2];
        return arena_format(arena, "%s%s%s",
                            dots             ? "a"
                            : name[0] == 'e' ? "an"
                                             : "a",
                            dots ? " dotted " : " ", name);
    }
    for (size_t i = 0; i < sizeof tuplets / sizeof *tuplets; i++) {
        struct fraction written =
            fraction_multiply(length, fraction_make(tuplets[i].actual, tuplets[i].normal));
        if (fraction_ok(written) && spelling_value(written, 0, &value_log2, &dots) &&
            value_log2 < VALUE_NAMES)
            return arena_format(arena, "a %s %s", tuplets[i].name, value_names[value_log2]);
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

/* Fills terms with note values that add up to the length; 0 where no few of them do. */
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
    if (count == 1)
        return terms[0];
    if (count == 2)
        return arena_format(arena, "%s and %s", terms[0], terms[1]);
    if (count == 3)
        return arena_format(arena, "%s, %s and %s", terms[0], terms[1], terms[2]);
    struct fraction quarters = fraction_multiply(length, fraction_make(4, 1));
    return arena_format(arena, "%lld/%lld of a quarter", (long long)quarters.numerator,
                        (long long)quarters.denominator);
}

const char *duration_in_units(struct arena *arena, struct fraction length,
                              const struct meter *meter)
{
    struct fraction units = fraction_multiply(length, fraction_make(meter->unit, 1));
    if (!fraction_ok(units))
        return "more than can be told";
    int64_t whole = fraction_floor(units);
    struct fraction rest = fraction_subtract(units, fraction_make(whole, 1));
    unsigned log2 = (unsigned)__builtin_ctz(meter->unit);
    const char *name = log2 == 1 ? "halve" : value_names[log2];
    bool one = fraction_equal(units, FRACTION_ONE);
    const char *unit = one && log2 == 1 ? "half" : name, *plural = one ? "" : "s";
    if (rest.numerator == 0)
        return arena_format(arena, "%lld %s%s", (long long)whole, unit, plural);
    if (whole == 0)
        return arena_format(arena, "%lld/%lld %s%s", (long long)rest.numerator,
                            (long long)rest.denominator, unit, plural);
    return arena_format(arena, "%lld %lld/%lld %s%s", (long long)whole, (long long)rest.numerator,
                        (long long)rest.denominator, unit, plural);
}

const char *meter_words(struct arena *arena, const struct meter *meter)
{
    struct buffer text = {0};
    for (size_t i = 0; i < meter->group_count; i++)
        buffer_format(&text, "%s%u", i ? "+" : "", meter->groups[i]);
    buffer_format(&text, "/%u", meter->unit);
    return buffer_keep(&text, arena);
}
