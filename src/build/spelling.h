#ifndef RATAMARK_BUILD_SPELLING_H
#define RATAMARK_BUILD_SPELLING_H
/*
 * How a beat is written: strokes on the slots of a grid become note values, rests, ties and
 * tuplets. Of all ways to write a beat the search takes the cheapest: the one with the fewest
 * symbols that keeps every beat visible. A drum note lasts until the next stroke, but never beyond
 * its beat.
 */
#include "base/arena.h"
#include "model/subdivision.h"

enum { SPELLING_SLOTS_MAX = 64, SPELLING_NO_TUPLET = 0xFF };

/* What is costly to read. One place for all; the unit is a hundredth of a symbol. */
enum spelling_cost {
    /* Each note, rest or tied continuation: what the eye has to count. */
    COST_SYMBOL = 100,
    /* Of two spellings with as many symbols, the one with notes instead of rests. */
    COST_REST = 5,
    /* A tie is read as one sound more than it is; only held notes (rolls) have them. */
    COST_TIE = 20,
    /* A dot is a small sign beside a symbol; two of them are rare enough to stop a reader. */
    COST_DOT = 10,
    COST_SECOND_DOT = 80,
    /* A value that starts on a weak place and sounds across a stronger one, for each level
       between the two: a sixteenth's syncopation is common, a thirty-second's is not. */
    COST_CROSSING = 30,
    /* In compound beats a rest of more than one pulse belongs at the start of the beat only. */
    COST_LATE_LONG_REST = 110,
    /* A bracket or number over the notes. */
    COST_TUPLET = 40
};

enum symbol_kind { SYMBOL_NOTE, SYMBOL_REST, SYMBOL_CONTINUED };

struct spelled_symbol {
    uint8_t slot, slots; /* first slot and how many it lasts */
    uint8_t kind;        /* enum symbol_kind */
    uint8_t value_log2, dots;
    uint8_t tuplet; /* index in the spelling, SPELLING_NO_TUPLET */
};

struct spelled_tuplet {
    uint8_t slot, slots;
    uint8_t first, end; /* symbols [first, end) */
    uint8_t actual, normal, unit_log2;
};

struct spelling {
    uint32_t cost;
    uint8_t symbol_count, tuplet_count;
    struct spelled_symbol symbols[SPELLING_SLOTS_MAX];
    struct spelled_tuplet tuplets[SPELLING_SLOTS_MAX / 2];
};

/* Which slots of a span are struck. */
struct spelling_onsets {
    uint64_t struck;    /* bit i: a stroke on slot i */
    uint64_t sustained; /* of those: strokes that ring into the next one: ties, never rests */
    bool held_in;       /* a stroke of an earlier span rings into this one */
    uint8_t first;      /* the slot that a pickup begins with; otherwise 0 */
};

/*
 * Spells one span of `division` in a beat of `kind`; division->slots is 1 to SPELLING_SLOTS_MAX.
 * Every span that subdivision_divide() gives has a spelling.
 */
void spelling_search(const struct division *division, enum beat_kind kind,
                     struct spelling_onsets onsets, struct spelling *out);

/*
 * How many beats one rest may fill from beat `first` on if they are all empty: 1, 2, 4 ... In bars
 * of four (or eight) equal beats, and in stated groups of two, four or eight, aligned to
 * its own length, so that no rest hides the middle of the bar.
 */
size_t spelling_rest_beats(const struct meter *meter, const struct beat *beats, size_t beat_count,
                           size_t first);

/* The written value of this length, with at most `dots_most` dots; false if there is none. */
bool spelling_value(struct fraction length, int dots_most, uint8_t *value_log2, uint8_t *dots);

#endif
