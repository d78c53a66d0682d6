#ifndef RATAMARK_FUZZ_HEAR_H
#define RATAMARK_FUZZ_HEAR_H
/* The lesson as it is heard: performed and written as a MIDI file in memory, with the usual options
   and with others. What must hold whatever was written is asserted. */
#include "model/score.h"

#include <stdio.h>
#include <stdlib.h>

#define MUST(what)                                                                                 \
    do {                                                                                           \
        if (!(what)) {                                                                             \
            fprintf(stderr, "%s: does not hold: %s\n", __FILE__, #what);                           \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

/* `choice` chooses the other options: equal bytes have to make equal choices. */
void hear_score(const struct score *score, uint32_t choice);

#endif
