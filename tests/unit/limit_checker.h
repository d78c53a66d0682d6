#ifndef RATAMARK_TESTS_LIMIT_CHECKER_H
#define RATAMARK_TESTS_LIMIT_CHECKER_H
/*
 * A checker that asks one question only: does every constraint hold at this tempo? It is written
 * from the model's text, in floating point milliseconds, stroke pair by stroke pair; it shares with
 * the program the rows of strokes alone.
 */
#include "play/play_int.h"

struct checker {
    const struct timeline *timeline;
    const struct kit *kit;
    const int32_t *limits;
    double tick_ms; /* at the tempo asked about */
};

/* What does not depend on the tempo: which blows are rebounds, and the others. */
struct prepared {
    bool *rebounds[PLAYING_LIMBS];
    const struct blow **driven[PLAYING_LIMBS];
    size_t driven_count[PLAYING_LIMBS];
};

void checker_prepare(const struct checker *checker, struct prepared *prepared);
void checker_release(struct prepared *prepared);
bool checker_holds(const struct checker *checker, const struct prepared *prepared);
/* The blows of a limb that come too early after what came before them, into `broken`, which has
   room for all of them; how many. */
size_t checker_broken(const struct checker *checker, const struct prepared *prepared, uint8_t role,
                      const struct blow **broken);

#endif
