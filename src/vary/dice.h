#ifndef RATAMARK_VARY_DICE_H
#define RATAMARK_VARY_DICE_H
/*
 * Random numbers that are the same on every machine, for ever: SplitMix64 (Steele, Lea and Flood,
 * Fast splittable pseudorandom number generators, OOPSLA 2014). A lesson that was drawn names its
 * seed and DICE_VERSION; whatever changes what a seed draws changes the version, too.
 */
#include <gmp.h>
#include <stdint.h>

enum { DICE_VERSION = 1 };

struct dice {
    uint64_t state; /* at first the seed */
};

uint64_t dice_word(struct dice *dice);
/* Each number below `end`, which is above 0, with the same probability: words of the generator, the
   first one the most significant, cut to the bits of `end` - 1, and drawn again while too large. */
void dice_below(struct dice *dice, const mpz_t end, mpz_t out);
uint32_t dice_small(struct dice *dice, uint32_t end);

#endif
