#include "model/counting.h"

#include <string.h>
#include <strings.h>

/*
 * english: one to four to a beat and the six of the triplet as drum teachers count them (common
 * practice); thirty-seconds "1 ta e ta & ta a ta" and compound sixteenths "1 ta & ta a ta" fill the
 * gaps with "ta" (common practice); quintuplets and septuplets are counted in numbers, starting
 * with the beat's own.
 *
 * Between the thirds of a triplet english says "ta", as in compound sixteenths and as eastman does:
 * 1 ta trip ta let ta (common practice).
 *
 * units: seven eighths are counted one to seven (common practice); below a unit as in english.
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
#define ENGLISH { \
        [SUBDIVISION_QUARTERS] = {SIMPLE = SPOKEN("#")}, \
        [SUBDIVISION_EIGHTHS] = {SIMPLE = SPOKEN("#", "&"), COMPOUND = SPOKEN("#", "&", "a")}, \
        [SUBDIVISION_QUARTER_TRIPLETS] = {SIMPLE = SPOKEN("#", "trip", "let")}, \
        [SUBDIVISION_EIGHTH_TRIPLETS] = {SIMPLE = SPOKEN("#", "trip", "let")}, \
        [SUBDIVISION_SIXTEENTHS] = {SIMPLE = SPOKEN("#", "e", "&", "a"), \
            COMPOUND = SPOKEN("#", "ta", "&", "ta", "a", "ta")}, \
        [SUBDIVISION_QUINTUPLETS] = {SIMPLE = SPOKEN("#", "2", "3", "4", "5")}, \
        [SUBDIVISION_SIXTEENTH_TRIPLETS] = { \
            SIMPLE = SPOKEN("#", "trip", "let", "&", "trip", "let")}, \
        [SUBDIVISION_SEXTUPLETS] = {SIMPLE = SPOKEN("#", "trip", "let", "&", "trip", "let")}, \
        [SUBDIVISION_SEPTUPLETS] = {SIMPLE = SPOKEN("#", "2", "3", "4", "5", "6", "7")}, \
        [SUBDIVISION_THIRTY_SECONDS] = {SIMPLE = SPOKEN("#", "ta", "e", "ta", "&", "ta", "a", "ta"), \
            COMPOUND = SPOKEN("#", "ta", "ta", "ta", "&", "ta", "ta", "ta", "a", "ta", "ta", "ta")}, \
        [SUBDIVISION_DUPLETS] = {COMPOUND = SPOKEN("#", "&")}, \
        [SUBDIVISION_QUADRUPLETS] = {COMPOUND = SPOKEN("#", "e", "&", "a")}, \
    }
static const struct counting systems[COUNTING_COUNT] = {
    {.name = "english", .between = SPOKEN("ta", "ta", "ta"), .spoken = ENGLISH},
    {.name = "eastman", .between = SPOKEN("ta", "ta", "ta"), .spoken = {
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
    {.name = "takadimi", .between = SPOKEN("va", "di", "ma"), .spoken = {
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
    {.name = "units", .units = true, .between = SPOKEN("ta", "ta", "ta"), .spoken = ENGLISH},
};
/* clang-format on */

#undef ENGLISH
#undef SPOKEN
#undef SIMPLE
#undef COMPOUND

const char *const counting_names[COUNTING_COUNT + 1] = {"english", "eastman", "takadimi", "units"};

const struct counting *counting_find(const char *name, size_t length)
{
    for (size_t i = 0; i < COUNTING_COUNT; i++)
        if (strlen(systems[i].name) == length && strncasecmp(systems[i].name, name, length) == 0)
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

const char *const *counting_spoken(const struct counting *counting, enum subdivision subdivision,
                                   const struct beat *beat)
{
    const struct beat usual_beat = counting_usual_beat(beat->kind);
    struct division division, usual;
    if (!subdivision_divide(subdivision, beat, &division))
        return NULL;
    for (int step = 0; step < SUBDIVISION_COUNT; step++) {
        /* itself first, so that sextuplets do not become sixteenth triplets */
        int candidate = ((int)subdivision + step) % SUBDIVISION_COUNT;
        if (subdivision_divide((enum subdivision)candidate, &usual_beat, &usual) &&
            usual.slots == division.slots && usual.beats == division.beats &&
            usual.tuplet_actual == division.tuplet_actual)
            return counting->spoken[candidate][beat->kind];
    }
    return NULL;
}
