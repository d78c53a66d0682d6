#ifndef RATAMARK_VARY_SPACE_H
#define RATAMARK_VARY_SPACE_H
/*
 * The variations of an exercise as words: one letter for each column. Hands, kick and hi-hat foot
 * do not depend on each other, so each part has a graph of its own, and their counts multiply.
 *
 * Where variations that only begin elsewhere are the same, the words that a rotation leaves as they
 * are have graphs, too: the number of different ones is the mean number of words that a rotation
 * leaves alone (Burnside's count). A rotation and a word that it leaves alone, drawn together, make
 * every different variation equally likely, for each has as many such pairs as there are
 * rotations.
 */
#include "model/score.h"
#include "vary/graph.h"
#include "vary/orders.h"

enum { PART_HANDS, PART_KICK, PART_HAT, PARTS };

/* A letter: what the hands have in a column, and the feet. */
enum {
    LETTER_ACCENT = 1 << 0,
    LETTER_GHOST = 1 << 1,
    LETTER_RIGHT_SHIFT = 2, /* the voice of R, from 1 on; 0: none is chosen */
    LETTER_LEFT_SHIFT = 6,
    LETTER_VOICE_MASK = 0xF,
    LETTER_STROKE_SHIFT = 10, /* the stroke's number in the orders, from 1 on; 0: there is none */
    LETTER_STROKE_MASK = 0xFFFF,
    LETTER_HANDS = (1 << 26) - 1,
    LETTER_KICK = 1 << 26,
    LETTER_HAT = 1 << 27
};

/* Words of some period; those of the whole length are all of them. */
struct fold {
    size_t period;
    uint32_t rotations; /* how many leave just these words alone */
    struct graph *parts[PARTS];
    mpz_t count;
};

enum space_fault {
    SPACE_GOOD,
    SPACE_TOO_LARGE,  /* to count it */
    SPACE_NO_ROTATION /* `distinct: rotation`, but none keeps to the limits */
};

struct space {
    const struct score_exercise *exercise;
    const struct lesson *lesson;
    const struct vary *vary;
    const struct vary_columns *columns;
    struct orders *orders; /* NULL: no sticking */
    struct arena *arena;
    size_t step; /* rotations by multiples of so many columns stay in the space; without them the
                    number of columns */
    VECTOR(struct fold) folds; /* the first: all words */
    mpz_t pairs, count;        /* of rotations and words; of different variations */
    enum space_fault fault;
    uint64_t relaxed; /* limits that do not hold: bits by enum vary_part for their counts, and
                         from LIMIT_KEPT on for the columns that `keep` names, in their order */
};
enum {
    LIMIT_KEPT = VARY_PARTS,
    LIMITS_MAX = 64,
    SPACE_COLUMNS_MAX = 1024 /* 64 bars of sixteenths: numbers grow with every column */
};

/* `exercise` has columns. Release it. */
struct space *space_new(const struct score *score, const struct score_exercise *exercise);
void space_free(struct space *space);
/* How many words a part alone has, under the limits that are not relaxed. */
void space_count_part(struct space *space, int part, uint64_t relaxed, mpz_t out);
/* Whether these letters are a variation. */
bool space_has(const struct space *space, const uint32_t *letters);
/* The variation of a pair of rotation and word, below `pairs`; the first of its rotations in order
   of letters. */
void space_word(const struct space *space, const mpz_t pair, uint32_t *letters);
/* Turns letters to the first of their rotations. */
void space_turn(const struct space *space, uint32_t *letters);
/* A number in decimal. */
const char *space_number(const struct space *space, const mpz_t number);

/* ---- for all who read letters --------------------------------------------------------------- */

static inline const struct stroke *letter_stroke(const struct space *space, uint32_t letter)
{
    uint32_t number = letter >> LETTER_STROKE_SHIFT & LETTER_STROKE_MASK;
    return number && space->orders ? orders_stroke(space->orders, number - 1) : NULL;
}
static inline uint32_t letter_voice(uint32_t letter, int shift)
{
    return letter >> shift & LETTER_VOICE_MASK;
}

#endif
