#ifndef RATAMARK_VARY_ORDERS_H
#define RATAMARK_VARY_ORDERS_H
/*
 * The orders that a sticking can come in: begun at any of its strokes (`rotate`), its pieces in any
 * order (`permute`), both, or as it is. A deterministic machine reads them stroke by stroke: its
 * state is the set of all places in the sticking that fit what was read, so orders that give the
 * same strokes are one (the subset construction; Rabin and Scott 1959).
 */
#include "model/lesson.h"

struct orders;
#define ORDERS_NONE UINT32_MAX
enum { ORDERS_STROKES_MAX = 512, ORDERS_STATES_MAX = 100000 };

/* NULL if the sticking is too long, or there are too many states. */
struct orders *orders_new(const struct stroke_line *sticking, const struct vary *vary,
                          struct arena *arena);
/* Strokes alike in all that is written have one number, from 0 on. */
size_t orders_stroke_count(const struct orders *orders);
const struct stroke *orders_stroke(const struct orders *orders, size_t number);
uint32_t orders_of_item(const struct orders *orders, size_t item);
/* After how many strokes the sticking repeats itself. */
size_t orders_period(const struct orders *orders);

uint32_t orders_start(const struct orders *orders);
/* The state after a stroke of this number; ORDERS_NONE if none fits. */
uint32_t orders_next(struct orders *orders, uint32_t state, size_t number);
/* Whether a whole order can end there. */
bool orders_ends(const struct orders *orders, uint32_t state);
bool orders_are_too_many(const struct orders *orders);

#endif
