#include "model/subdivision.h"

#include <ctype.h>
#include <string.h>

enum { NAME_MAX_LENGTH = 24 };

/* Which beats a subdivision fits, and how it divides them. */
enum rule {
    RULE_VALUE,   /* a plain note value: as many as fit */
    RULE_TRIPLET, /* three in the time of two of the value, simple beats */
    RULE_TUPLET   /* `actual` of them in the time of one beat */
};

static const struct {
    const char *name;
    enum rule rule;
    uint8_t value_log2;     /* VALUE and TRIPLET: the note value that the name says */
    uint8_t actual, normal; /* TUPLET: in the time of `normal` parts of the beat */
    enum beat_kind kind;    /* TUPLET: the beats that it divides */
} table[SUBDIVISION_COUNT] = {
    [SUBDIVISION_QUARTERS] = {"quarters", RULE_VALUE, 2, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_EIGHTHS] = {"eighths", RULE_VALUE, 3, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_QUARTER_TRIPLETS] = {"quarter triplets", RULE_TRIPLET, 2, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_EIGHTH_TRIPLETS] = {"eighth triplets", RULE_TRIPLET, 3, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_SIXTEENTHS] = {"sixteenths", RULE_VALUE, 4, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_QUINTUPLETS] = {"quintuplets", RULE_TUPLET, 0, 5, 4, BEAT_SIMPLE},
    [SUBDIVISION_SIXTEENTH_TRIPLETS] = {"sixteenth triplets", RULE_TRIPLET, 4, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_SEXTUPLETS] = {"sextuplets", RULE_TUPLET, 0, 6, 4, BEAT_SIMPLE},
    [SUBDIVISION_SEPTUPLETS] = {"septuplets", RULE_TUPLET, 0, 7, 4, BEAT_SIMPLE},
    [SUBDIVISION_THIRTY_SECONDS] = {"thirty-seconds", RULE_VALUE, 5, 0, 0, BEAT_SIMPLE},
    [SUBDIVISION_DUPLETS] = {"duplets", RULE_TUPLET, 0, 2, 3, BEAT_COMPOUND},
    [SUBDIVISION_QUADRUPLETS] = {"quadruplets", RULE_TUPLET, 0, 4, 3, BEAT_COMPOUND},
};

bool subdivision_is_value(enum subdivision subdivision, uint8_t *value_log2)
{
    *value_log2 = table[subdivision].value_log2;
    return table[subdivision].rule == RULE_VALUE;
}

const char *subdivision_name(enum subdivision subdivision)
{
    return table[subdivision].name;
}

/* Words that stand for a word of the names above. */
static const struct {
    const char *word, *means;
} spellings[] = {
    {"4th", "quarter"},
    {"8th", "eighth"},
    {"16th", "sixteenth"},
    {"32nd", "thirty second"},
    {"triplet", "eighth triplet"},
};

/* Small letters, one space between words (a hyphen counts as one), no plural: "16th  Triplets"
   becomes "16th triplet". Returns the length, 0 if it is too long for any name. */
static size_t normalize(const char *name, size_t length, char out[NAME_MAX_LENGTH])
{
    size_t n = 0;
    for (size_t i = 0; i < length; i++) {
        char letter = name[i] == '-' ? ' ' : (char)tolower((unsigned char)name[i]);
        if (letter == ' ' && (n == 0 || out[n - 1] == ' '))
            continue;
        if (n + 1 == NAME_MAX_LENGTH)
            return 0;
        if (letter == ' ' && out[n - 1] == 's')
            n--;
        out[n++] = letter;
    }
    while (n && out[n - 1] == ' ')
        n--;
    if (n && out[n - 1] == 's')
        n--;
    out[n] = '\0';
    return n;
}

static bool expand_first_word(char name[NAME_MAX_LENGTH])
{
    size_t first = strcspn(name, " ");
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        const char *means = spellings[i].means;
        if (strlen(spellings[i].word) != first || memcmp(name, spellings[i].word, first) != 0)
            continue;
        size_t rest = strlen(name + first);
        if (strlen(means) + rest >= NAME_MAX_LENGTH)
            return false;
        memmove(name + strlen(means), name + first, rest + 1);
        memcpy(name, means, strlen(means));
        break;
    }
    return true;
}

static bool from_other_spelling(const char *name, size_t length, enum subdivision *subdivision)
{
    char wanted[NAME_MAX_LENGTH];
    if (!normalize(name, length, wanted) || !expand_first_word(wanted))
        return false;
    for (int i = 0; i < SUBDIVISION_COUNT; i++) {
        char known[NAME_MAX_LENGTH];
        normalize(table[i].name, strlen(table[i].name), known);
        if (strcmp(wanted, known) == 0) {
            *subdivision = (enum subdivision)i;
            return true;
        }
    }
    return false;
}

bool subdivision_from_name(const char *name, size_t length, enum subdivision *subdivision)
{
    for (int i = 0; i < SUBDIVISION_COUNT; i++) /* nearly always written this way */
        if (strncmp(table[i].name, name, length) == 0 && table[i].name[length] == '\0') {
            *subdivision = (enum subdivision)i;
            return true;
        }
    return from_other_spelling(name, length, subdivision);
}

/* n if the fraction is 1 / 2^n of a whole note and n is at most 7; otherwise -1. */
static int plain_value(struct fraction length)
{
    for (int log2 = 0; log2 <= 7 && length.numerator == 1; log2++)
        if (length.denominator == (int64_t)1 << log2)
            return log2;
    return -1;
}

static bool divide_by_value(uint8_t value_log2, const struct beat *beat, struct division *division)
{
    struct fraction slot = fraction_make(1, (int64_t)1 << value_log2);
    struct fraction slots = fraction_divide(beat->length, slot);
    if (slots.denominator != 1)
        return false;
    *division = (struct division){
        .slots = (uint16_t)slots.numerator, .beats = 1, .slot = slot, .value_log2 = value_log2};
    return true;
}

/* A triplet lasts as long as two of its value: it fills the beat once or several times, or two
   beats once. */
static bool divide_by_triplets(uint8_t value_log2, const struct beat *beat,
                               struct division *division)
{
    if (beat->kind != BEAT_SIMPLE)
        return false;
    struct fraction triplet = fraction_make(2, (int64_t)1 << value_log2);
    struct fraction in_beat = fraction_divide(beat->length, triplet);
    bool across_two = fraction_equal(in_beat, fraction_make(1, 2));
    if (!across_two && in_beat.denominator != 1)
        return false;
    unsigned triplets = across_two ? 1 : (unsigned)in_beat.numerator;
    *division = (struct division){.slots = (uint16_t)(3 * triplets),
                                  .beats = across_two ? 2 : 1,
                                  .slot = fraction_divide(triplet, fraction_make(3, 1)),
                                  .tuplet_actual = 3,
                                  .tuplet_normal = 2,
                                  .tuplet_count = (uint8_t)triplets,
                                  .value_log2 = value_log2};
    return true;
}

static bool divide_by_tuplet(enum subdivision subdivision, const struct beat *beat,
                             struct division *division)
{
    uint8_t actual = table[subdivision].actual, normal = table[subdivision].normal;
    int value = plain_value(fraction_divide(beat->length, fraction_make(normal, 1)));
    if (beat->kind != table[subdivision].kind || value < 0)
        return false;
    *division = (struct division){.slots = actual,
                                  .beats = 1,
                                  .slot = fraction_divide(beat->length, fraction_make(actual, 1)),
                                  .tuplet_actual = actual,
                                  .tuplet_normal = normal,
                                  .tuplet_count = 1,
                                  .value_log2 = (uint8_t)value};
    return true;
}

bool subdivision_divide(enum subdivision subdivision, const struct beat *beat,
                        struct division *division)
{
    switch (table[subdivision].rule) {
    case RULE_VALUE:
        return divide_by_value(table[subdivision].value_log2, beat, division);
    case RULE_TRIPLET:
        return divide_by_triplets(table[subdivision].value_log2, beat, division);
    case RULE_TUPLET:
        return divide_by_tuplet(subdivision, beat, division);
    }
    return false;
}
