#include "model/counting.h"

#include <ctype.h>
#include <string.h>

/*
 * english: one to four to a beat and the six of the triplet as drum teachers count them (common
 * practice); thirty-seconds "1 ta e ta & ta a ta" and compound sixteenths "1 ta & ta a ta" fill the
 * gaps with "ta" (common practice); quintuplets and septuplets are counted in numbers, starting
 * with the beat's own.
 *
 * eastman: A. I. McHose and R. N. Tibbs, Sight-Singing Manual (Eastman School of Music, 1944):
 * number, "te" for the half, "la li" for the thirds, "ta" for whatever lies between. From memory.
 *
 * takadimi: R. Hoffman, W. Pelto and J. W. White, Takadimi: A Beat-Oriented System of Rhythm
 * Pedagogy, Journal of Music Theory Pedagogy 10 (1996): a syllable names a place in the beat, so
 * both kinds of six share theirs. From memory; thirty-seconds say the four twice, from memory.
 */
#define SPOKEN(...) ((const char *const[]){__VA_ARGS__})
#define SIMPLE [BEAT_SIMPLE]
#define COMPOUND [BEAT_COMPOUND]

/* clang-format off */
static const struct counting systems[COUNTING_COUNT] = {
    {.name = "english", .spoken = {
        [SUBDIVISION_QUARTERS] = {SIMPLE = SPOKEN("#")},
        [SUBDIVISION_EIGHTHS] = {SIMPLE = SPOKEN("#", "&"), COMPOUND = SPOKEN("#", "&", "a")},
        [SUBDIVISION_QUARTER_TRIPLETS] = {SIMPLE = SPOKEN("#", "trip", "let")},
        [SUBDIVISION_EIGHTH_TRIPLETS] = {SIMPLE = SPOKEN("#", "trip", "let")},
        [SUBDIVISION_SIXTEENTHS] = {SIMPLE = SPOKEN("#", "e", "&", "a"),
            COMPOUND = SPOKEN("#", "ta", "&", "ta", "a", "ta")},
        [SUBDIVISION_QUINTUPLETS] = {SIMPLE = SPOKEN("#", "2", "3", "4", "5")},
        [SUBDIVISION_SIXTEENTH_TRIPLETS] = {
            SIMPLE = SPOKEN("#", "trip", "let", "&", "trip", "let")},
        [SUBDIVISION_SEXTUPLETS] = {SIMPLE = SPOKEN("#", "trip", "let", "&", "trip", "let")},
        [SUBDIVISION_SEPTUPLETS] = {SIMPLE = SPOKEN("#", "2", "3", "4", "5", "6", "7")},
        [SUBDIVISION_THIRTY_SECONDS] = {SIMPLE = SPOKEN("#", "ta", "e", "ta", "&", "ta", "a", "ta"),
            COMPOUND = SPOKEN("#", "ta", "ta", "ta", "&", "ta", "ta", "ta", "a", "ta", "ta", "ta")},
        [SUBDIVISION_DUPLETS] = {COMPOUND = SPOKEN("#", "&")},
        [SUBDIVISION_QUADRUPLETS] = {COMPOUND = SPOKEN("#", "e", "&", "a")},
    }},
    {.name = "eastman", .spoken = {
        [SUBDIVISION_QUARTERS] = {SIMPLE = SPOKEN("#")},
        [SUBDIVISION_EIGHTHS] = {SIMPLE = SPOKEN("#", "te"), COMPOUND = SPOKEN("#", "la", "li")},
        [SUBDIVISION_QUARTER_TRIPLETS] = {SIMPLE = SPOKEN("#", "la", "li")},
        [SUBDIVISION_EIGHTH_TRIPLETS] = {SIMPLE = SPOKEN("#", "la", "li")},
        [SUBDIVISION_SIXTEENTHS] = {SIMPLE = SPOKEN("#", "ta", "te", "ta"),
            COMPOUND = SPOKEN("#", "ta", "la", "ta", "li", "ta")},
        [SUBDIVISION_QUINTUPLETS] = {SIMPLE = SPOKEN("#", "ta", "ta", "ta", "ta")},
        [SUBDIVISION_SIXTEENTH_TRIPLETS] = {SIMPLE = SPOKEN("#", "ta", "ta", "te", "ta", "ta")},
        [SUBDIVISION_SEXTUPLETS] = {SIMPLE = SPOKEN("#", "ta", "la", "ta", "li", "ta")},
        [SUBDIVISION_SEPTUPLETS] = {SIMPLE = SPOKEN("#", "ta", "ta", "ta", "ta", "ta", "ta")},
        [SUBDIVISION_THIRTY_SECONDS] = {SIMPLE = SPOKEN("#", "ta", "ta", "ta", "te", "ta", "ta", "ta"),
            COMPOUND = SPOKEN("#", "ta", "ta", "ta", "la", "ta", "ta", "ta", "li", "ta", "ta", "ta")},
        [SUBDIVISION_DUPLETS] = {COMPOUND = SPOKEN("#", "te")},
        [SUBDIVISION_QUADRUPLETS] = {COMPOUND = SPOKEN("#", "ta", "te", "ta")},
    }},
    {.name = "takadimi", .spoken = {
        [SUBDIVISION_QUARTERS] = {SIMPLE = SPOKEN("ta")},
        [SUBDIVISION_EIGHTHS] = {SIMPLE = SPOKEN("ta", "di"), COMPOUND = SPOKEN("ta", "ki", "da")},
        [SUBDIVISION_QUARTER_TRIPLETS] = {SIMPLE = SPOKEN("ta", "da", "ki")},
        [SUBDIVISION_EIGHTH_TRIPLETS] = {SIMPLE = SPOKEN("ta", "ki", "da")},
        [SUBDIVISION_SIXTEENTHS] = {SIMPLE = SPOKEN("ta", "ka", "di", "mi"),
            COMPOUND = SPOKEN("ta", "va", "ki", "di", "da", "ma")},
        [SUBDIVISION_QUINTUPLETS] = {SIMPLE = SPOKEN("ta", "ka", "di", "mi", "ti")},
        [SUBDIVISION_SIXTEENTH_TRIPLETS] = {SIMPLE = SPOKEN("ta", "va", "ki", "di", "da", "ma")},
        [SUBDIVISION_SEXTUPLETS] = {SIMPLE = SPOKEN("ta", "va", "ki", "di", "da", "ma")},
        [SUBDIVISION_SEPTUPLETS] = {SIMPLE = SPOKEN("ta", "va", "ki", "di", "da", "ma", "ti")},
        [SUBDIVISION_THIRTY_SECONDS] = {SIMPLE = SPOKEN("ta", "ka", "di", "mi", "ta", "ka", "di", "mi"),
            COMPOUND = SPOKEN("ta", "ka", "di", "mi", "ta", "ka", "di", "mi", "ta", "ka", "di", "mi")},
        [SUBDIVISION_DUPLETS] = {COMPOUND = SPOKEN("ta", "di")},
        [SUBDIVISION_QUADRUPLETS] = {COMPOUND = SPOKEN("ta", "ka", "di", "mi")},
    }},
};
/* clang-format on */

#undef SPOKEN
#undef SIMPLE
#undef COMPOUND

const char *const counting_names[COUNTING_COUNT + 1] = {"english", "eastman", "takadimi"};

static bool same_letters(const char *known, const char *name, size_t length)
{
    if (strlen(known) != length)
        return false;
    for (size_t i = 0; i < length; i++)
        if (known[i] != tolower((unsigned char)name[i]))
            return false;
    return true;
}

const struct counting *counting_find(const char *name, size_t length)
{
    for (size_t i = 0; i < COUNTING_COUNT; i++)
        if (same_letters(systems[i].name, name, length))
            return &systems[i];
    return NULL;
}

const struct counting *counting_default(void)
{
    return &systems[0];
}

struct beat counting_usual_beat(enum beat_kind kind)
{
    return (struct beat){
        .start = FRACTION_ZERO,
        .length = kind == BEAT_SIMPLE ? fraction_make(1, 4) : fraction_make(3, 8),
        .kind = kind,
    };
}

/* The subdivision that divides the usual beat as `division` divides its own. */
static bool usual_counterpart(enum subdivision subdivision, const struct division *division,
                              enum beat_kind kind, enum subdivision *counterpart)
{
    const struct beat usual = counting_usual_beat(kind);
    for (int step = 0; step < SUBDIVISION_COUNT; step++) {
        /* itself first, so that sextuplets do not become sixteenth triplets */
        int i = (int)subdivision + step;
        enum subdivision candidate = (enum subdivision)(i % SUBDIVISION_COUNT);
        struct division usual_division;
        if (!subdivision_divide(candidate, &usual, &usual_division))
            continue;
        if (usual_division.slots == division->slots && usual_division.span == division->span &&
            usual_division.tuplet_actual == division->tuplet_actual) {
            *counterpart = candidate;
            return true;
        }
    }
    return false;
}

const char *const *counting_spoken(const struct counting *counting, enum subdivision subdivision,
                                   const struct beat *beat)
{
    struct division division;
    enum subdivision counterpart;
    if (!subdivision_divide(subdivision, beat, &division) ||
        !usual_counterpart(subdivision, &division, beat->kind, &counterpart))
        return NULL;
    return counting->spoken[counterpart][beat->kind];
}
