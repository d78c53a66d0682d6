#ifndef RATAMARK_BUILD_ADDRESS_H
#define RATAMARK_BUILD_ADDRESS_H
/*
 * Finds the place in a bar that a count address means: the slot with that syllable in the bar's own
 * grid; otherwise in the subdivision set for the bar; otherwise in all others, which must agree.
 */
#include "build/frame.h"

/* What the addresses of a bar refer to. */
struct counted_bar {
    struct frame *frame;                  /* whose beats are counted */
    struct span *const *spans;            /* by beat; NULL: only the beat's number is counted */
    const struct subdivisions *otherwise; /* tried next; may be NULL */
    const struct grid *grid;              /* whose slots are numbered; NULL: none */
};

/* The counts of a grid; `otherwise` may be NULL. */
static inline struct counted_bar grid_counted(struct grid *grid,
                                              const struct subdivisions *otherwise)
{
    return (struct counted_bar){.frame = grid->frame->counted,
                                .spans =
                                    grid->counted_spans ? grid->counted_spans : grid->span_of_beat,
                                .otherwise = otherwise,
                                .grid = grid};
}

enum address_outcome {
    ADDRESS_FOUND,
    ADDRESS_NO_BEAT,  /* the bar has no beat of that number */
    ADDRESS_UNKNOWN,  /* no subdivision counts this in that beat */
    ADDRESS_AMBIGUOUS /* subdivisions count it at different places */
};

struct resolved {
    enum address_outcome outcome;
    bool interval;                    /* a range: everything from `from` to `to`, both included */
    uint16_t beat;                    /* 0-based: the beat that failed */
    struct fraction from, to;         /* only for an interval */
    const struct position *positions; /* ascending; of an interval, the grid's slots in it */
    size_t count;
};

/* The slot of the span that an address names this way ("", "e", "/3"); -1 if there is none. */
int span_find_slot(const struct span *span, const char *spoken);

/* Resolves every kind but ADDRESS_EACH_STROKES, which needs strokes and not a grid (found, with no
   position). It ignores the bar number in the address. The positions stay in
   frames->positions until the next call. */
void address_resolve(struct frames *frames, const struct counted_bar *bar,
                     const struct address *address, struct resolved *out);

/* Reports any outcome but ADDRESS_FOUND, as unknown-count or ambiguous-count. */
void address_report(struct frames *frames, const struct counted_bar *bar,
                    const struct address *address, const struct resolved *resolved);

/* The address as it is written: "2&", "1..2a", "each let". */
const char *address_words(struct arena *arena, const struct address *address);

/* What the bar's own grid calls an onset ("3a"); NULL if it has no name for it. */
const char *address_of_onset(struct arena *arena, const struct counted_bar *bar,
                             struct fraction onset);

#endif
