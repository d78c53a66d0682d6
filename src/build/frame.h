#ifndef RATAMARK_BUILD_FRAME_H
#define RATAMARK_BUILD_FRAME_H
/*
 * What bars share: the beats of a meter (frame), a grid of subdivisions over them, and the spelled
 * patterns of each part of a grid (span). Bars with the same meter, subdivisions and counting share
 * one grid, so each beat pattern is spelled only once in a lesson.
 */
#include "base/table.h"
#include "base/vector.h"
#include "build/spelling.h"
#include "diag/diag.h"
#include "model/lesson.h"
#include "model/score.h"

/* A pattern of strokes in a span, as note values with their place in the bar. */
struct placed {
    struct spelling_onsets onsets;
    struct leaf *leaves; /* without their notes; `tuplet` counts from this pattern's first */
    struct tuplet *tuplets;
    uint16_t leaf_count, tuplet_count;
};

/* Those of a span, found by their onsets. */
struct patterns {
    struct table by_onsets;
    VECTOR(struct placed *) items;
};

/* One division of a beat, or of two. */
struct span {
    struct fraction start;
    struct division division;
    enum beat_kind kind;
    bool spoken; /* false for an undivided beat, for which the fields below are not set, and for
                    halved thirds, which have syllables and no subdivision */
    enum subdivision subdivision;
    uint16_t beat;       /* first beat, 0-based */
    uint32_t first_slot; /* its first slot's number in the bar (grids only) */
    struct fraction *onsets;
    const char *const *syllables; /* as counted, division.slots of them; NULL: not spoken */
    const char **texts;           /* the same with the beat's number in place of '#' */
    const char **spoken_as;       /* what an address says after the beat: "", "e", "&trip", "/3" */
    const struct frame *frame;
    struct patterns patterns;
};

/* The beats of a meter, counted by one system. */
struct frame {
    const struct meter *meter;
    const struct counting *counting;
    struct fraction length;
    struct fraction even; /* the length of every beat; zero: they differ */
    struct beat beats[METER_BEATS_MAX];
    uint16_t beat_count;
    struct leaf *rests[METER_BEATS_MAX]; /* [beat][log2 of the beats it fills] */
    uint8_t rest_beats[METER_BEATS_MAX]; /* beats that one rest may fill from here */
    struct span *plain[METER_BEATS_MAX]; /* the undivided beat; made on first use */
    struct span *divided[METER_BEATS_MAX][SUBDIVISION_COUNT]; /* made on first use */
    bool tried[METER_BEATS_MAX][SUBDIVISION_COUNT];
    struct span *halved[METER_BEATS_MAX];    /* made on first use */
    struct span **coarsest[METER_BEATS_MAX]; /* [beat], by parts and tuplet; NULL: not asked */
    struct frame *counted; /* whose beats are counted: itself, or a frame of the meter's units */
    struct frame *whole;   /* of such a frame of units: the beats that they make; or NULL */
};

/* A line already written, for later bars with the same struck slots. */
struct known_line {
    uint64_t struck;        /* its slots, as bits */
    struct score_line line; /* leaf_count 0: an empty entry */
    bool numbers_first;     /* with `tuplet-numbers: first` */
};
enum { KNOWN_LINES_LOG2 = 4, KNOWN_LINES = 1 << KNOWN_LINES_LOG2 };

/* A bar's spans, in order. */
struct grid {
    struct frame *frame;
    const struct subdivisions *subdivisions; /* NULL: beats are not divided */
    struct span **spans;
    uint16_t span_count;
    struct span **span_of_beat;  /* the span around each beat */
    struct span **counted_spans; /* by beat of frame->counted: what is spoken; NULL: its number */
    uint32_t slot_count;
    struct fraction *onsets;  /* of the slots, from the bar line */
    struct score_beat *beats; /* shared by the bars of the grid */
    struct count *counts;     /* every slot that is spoken, none struck */
    uint32_t *count_slots;    /* for each count its slot */
    uint16_t count_count;
    struct count *latest_counts;          /* of the last bar: bars struck alike share them */
    uint64_t *latest_struck;              /* the slots struck in it, as bits */
    struct known_line lines[KNOWN_LINES]; /* by a hash of the struck slots; the last one stays */
    bool usable; /* false: a subdivision does not fit; it has been reported */
};

/* A place in a bar that a count address means. */
struct position {
    struct fraction onset; /* from the bar line */
    int32_t slot;          /* the slot of the bar's grid, counted through the bar; -1: off it */
    uint16_t beat;         /* 0-based */
};

/* Frames and grids of one lesson: few, or a new one in each bar. Zeroed but for the first two. */
struct frames {
    struct arena *arena;
    struct diags *diags;
    struct table frame_table, grid_table;
    VECTOR(struct frame *) frames;
    VECTOR(struct grid *) grids;
    struct {
        const struct meter *meter;
        const struct subdivisions *subdivisions;
        const struct counting *counting;
        struct grid *grid; /* NULL: none yet */
    } latest;              /* what grid_get() was asked last: mostly the bar before has the same */
    VECTOR(struct position) positions; /* of the address resolved last */
};

struct frame *frame_get(struct frames *frames, const struct meter *meter,
                        const struct counting *counting);
/* Reports subdivision-fit if a subdivision does not divide its beat; the grid is then not usable.
 */
struct grid *grid_get(struct frames *frames, const struct meter *meter,
                      const struct subdivisions *subdivisions, const struct counting *counting);

/* The beat divided by a subdivision; NULL if it does not fit. */
struct span *frame_divide(struct frames *frames, struct frame *frame, size_t beat,
                          enum subdivision subdivision);
/* The beat by itself: one slot, or its three pulses where it is compound. */
struct span *frame_plain(struct frames *frames, struct frame *frame, size_t beat);

/*
 * The subdivision with the fewest slots that has a slot wherever the beat, cut into `parts` equal
 * parts, has a part (1: only the beat itself). Plain subdivisions come before tuplets with the same
 * number of slots. `written` is the number of the tuplet that the strokes stand in, 0 for none;
 * subdivisions with that tuplet come first. NULL if there is none.
 */
struct span *frame_coarsest(struct frames *frames, struct frame *frame, size_t beat, uint32_t parts,
                            uint16_t written);

/* The sixths of a beat that is one triplet of thirds, some of them in halves: counted as the thirds
   are, with something between them. No address names them, as the same syllables have other places
   in a beat of six. */
struct span *frame_halved_thirds(struct frames *frames, struct frame *frame, size_t beat);

/* The fewest equal parts of a beat, a multiple of `parts`, such that one of them starts at `onset`,
   which counts from the bar line and lies within the beat. 0: more than SPELLING_SLOTS_MAX. */
uint32_t frame_parts(const struct frame *frame, size_t beat, struct fraction onset, uint32_t parts);

/* The beat that an onset falls in; the search starts at beat `from`. */
uint16_t frame_beat_at(const struct frame *frame, uint16_t from, struct fraction onset);

/* False for the usual ratios, which a tuplet's number alone makes clear. */
bool ratio_misleads(unsigned actual, unsigned normal);

/* The grid's slot at this onset, numbered through the bar; -1 if there is none. */
int32_t grid_slot_at(const struct grid *grid, struct fraction onset);
/* The same, when the onset is known to be in this beat. */
int32_t grid_slot_in(const struct grid *grid, uint16_t beat, struct fraction onset);
/* The beat of the meter that a counted beat belongs to. */
uint16_t frame_whole_beat(const struct frame *counted, uint16_t beat);

/* How many slots of a span are counted: only the beat if nothing is spoken. `span` may be NULL. */
size_t span_spoken_slots(const struct span *span);
/* The count of one of those slots; the beat's number if nothing is spoken. */
struct count frame_count(struct arena *arena, const struct frame *frame, size_t beat,
                         const struct span *span, size_t slot);

/* The slot of the span at this onset (from the bar line); -1 if there is none. */
int span_slot_at(const struct span *span, struct fraction onset);

/* The pattern as note values in their place; made on first use. */
const struct placed *span_place(struct frames *frames, struct span *span,
                                struct spelling_onsets onsets);

/* A rest of `beats` whole beats (1, 2, 4 ... up to rest_beats) from `beat` on. */
static inline const struct leaf *frame_rest(const struct frame *frame, size_t beat, unsigned beats)
{
    return &frame->rests[beat][__builtin_ctz(beats)];
}
/* A rest that fills the bar. */
struct leaf frame_bar_rest(const struct frame *frame);

/* Writes the beat as the score has it. `span` may be NULL. */
void frame_score_beat(const struct frame *frame, size_t beat, const struct span *span,
                      struct score_beat *out);

#endif
