#ifndef RATAMARK_MODEL_SUBDIVISION_H
#define RATAMARK_MODEL_SUBDIVISION_H
/*
 * Subdivisions of the beat. A note value means just that value: there are 2 eighths in a quarter
 * beat, 4 in the half-note beat of 2/2, and 3 in a compound beat. The tuplets (quintuplets,
 * septuplets, sextuplets; duplets and quadruplets in compound beats) divide a beat of any length.
 */
#include "model/meter.h"

enum subdivision {
    SUBDIVISION_QUARTERS,
    SUBDIVISION_EIGHTHS,
    SUBDIVISION_QUARTER_TRIPLETS, /* three across two beats */
    SUBDIVISION_EIGHTH_TRIPLETS,
    SUBDIVISION_SIXTEENTHS,
    SUBDIVISION_QUINTUPLETS,
    SUBDIVISION_SIXTEENTH_TRIPLETS, /* 3 + 3 */
    SUBDIVISION_SEXTUPLETS,         /* 6 */
    SUBDIVISION_SEPTUPLETS,
    SUBDIVISION_THIRTY_SECONDS,
    SUBDIVISION_DUPLETS,    /* compound beats: two in the time of three */
    SUBDIVISION_QUADRUPLETS /* compound beats: four in the time of three eighths */
};

enum { SUBDIVISION_COUNT = SUBDIVISION_QUADRUPLETS + 1 };

/* How a subdivision is written in one beat (or in as many beats as it says). */
struct division {
    uint16_t slots;        /* in the whole span */
    uint8_t beats;         /* beats covered: 1, or 2 for quarter triplets */
    struct fraction slot;  /* length of one slot, whole notes */
    uint8_t tuplet_actual; /* `actual` in the time of `normal`; 0: no tuplet */
    uint8_t tuplet_normal;
    uint8_t tuplet_count; /* tuplets in the span: sixteenth triplets have 2 to a quarter */
    uint8_t value_log2;   /* written value of a slot: 2 quarter, 3 eighth, 4 sixteenth... */
};

/* True if it is a plain note value, such as sixteenths. */
bool subdivision_is_value(enum subdivision subdivision, uint8_t *value_log2);

/* The canonical name, e.g. "eighth triplets". */
const char *subdivision_name(enum subdivision subdivision);
/* Any of the spellings: case ignored, singular or plural, `8ths`, `16th triplets`, `32nds`. */
bool subdivision_from_name(const char *name, size_t length, enum subdivision *subdivision);
/* How it divides this beat; false if it does not fit (such as quarters in a compound beat). */
bool subdivision_divide(enum subdivision subdivision, const struct beat *beat,
                        struct division *division);

#endif
