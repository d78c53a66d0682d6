#ifndef RATAMARK_BUILD_FRAME_H
#define RATAMARK_BUILD_FRAME_H
/*
 * What bars have in common, made once: the beats of a meter (frame), a grid of subdivisions over
 * them, and the spelled patterns of each stretch of a grid (span). Bars of equal meter,
 * subdivisions and counting share one grid, so that a beat pattern is spelled once a lesson.
 */
#include "base/table.h"
#include "base/vector.h"
#include "build/spelling.h"
#include "diag/diag.h"
#include "model/lesson.h"
#include "model/score.h"

/* A pattern of strokes in a span, spelled and in its place in the bar. */
struct placed {
    struct spelling_onsets onsets;
    struct leaf *leaves; /* note, and for tuplets the line's index, are still to be set */
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
    bool spoken; /* a subdivision of the lesson, which the fields below tell of */
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
    struct beat beats[METER_BEATS_MAX];
    uint16_t beat_count;
    struct leaf *rests[METER_BEATS_MAX]; /* by the logarithm of the beats they fill */
    uint8_t rest_beats[METER_BEATS_MAX]; /* beats that one rest may fill from here */
    struct span *plain[METER_BEATS_MAX]; /* the undivided beat: made when asked for */
    struct span *divided[METER_BEATS_MAX][SUBDIVISION_COUNT]; /* made when asked for */
    bool tried[METER_BEATS_MAX][SUBDIVISION_COUNT];
    struct span **coarsest[METER_BEATS_MAX]; /* [beat], by parts and tuplet; NULL: not asked */
};

/* A bar's line as it was written once, for bars that are struck alike. */
struct known_line {
    uint64_t struck;        /* its slots, as bits */
    struct score_line line; /* without leaves: none is known */
    bool numbers_first;     /* with `tuplet-numbers: first` */
};
enum { KNOWN_LINES_LOG2 = 4, KNOWN_LINES = 1 << KNOWN_LINES_LOG2 };

/* A bar's spans, in order. */
struct grid {
    struct frame *frame;
    const struct subdivisions *subdivisions; /* NULL: beats are not divided */
    struct span **spans;
    uint16_t span_count;
    struct span **span_of_beat; /* the span that each beat stands in */
    uint32_t slot_count;
    struct score_beat *beats; /* shared by the bars of the grid */
    struct count *counts;     /* every slot that is spoken, none struck */
    uint32_t *count_slots;    /* for each count its slot */
    uint16_t count_count;
    struct count *latest_counts;          /* of the last bar: bars struck alike share them */
    uint64_t *latest_struck;              /* the slots struck in it, as bits */
    struct known_line lines[KNOWN_LINES]; /* by a hash of what is struck; the latest stays */
    bool usable; /* false: a subdivision does not fit, which was reported */
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
    struct grid *latest;
    VECTOR(struct position) positions; /* of the address resolved last */
};

struct frame *frame_get(struct frames *frames, const struct meter *meter,
                        const struct counting *counting);
/* Reports subdivision-fit where a subdivision does not divide its beat: the grid is not usable. */
struct grid *grid_get(struct frames *frames, const struct meter *meter,
                      const struct subdivisions *subdivisions, const struct counting *counting);

/* The beat divided by a subdivision; NULL where it does not fit it. */
struct span *frame_divide(struct frames *frames, struct frame *frame, size_t beat,
                          enum subdivision subdivision);
/* The beat by itself: one slot, or its three pulses where it is compound. */
struct span *frame_plain(struct frames *frames, struct frame *frame, size_t beat);

/*
 * The subdivision with the fewest slots whose slots hold all that a division of the beat into
 * `parts` equal parts does (parts 1: only the beat itself); plain ones before tuplets of as many
 * slots. `written` is the number of the tuplet that the strokes stand in, 0 for none: a division
 * into such tuplets goes before others. NULL where none holds them.
 */
struct span *frame_coarsest(struct frames *frames, struct frame *frame, size_t beat, uint32_t parts,
                            uint16_t written);

/* Into how many equal parts a beat has to be divided for one of them to start here: 1 for the beat
   itself. `onset` is from the bar line, within the beat. 0: more than SPELLING_SLOTS_MAX. */
uint32_t frame_parts(const struct frame *frame, size_t beat, struct fraction onset);

/* The beat that an onset falls in, sought from beat `from` on. */
uint16_t frame_beat_at(const struct frame *frame, uint16_t from, struct fraction onset);

/* Whether one of the usual ratios, which the number alone tells. */
bool ratio_misleads(unsigned actual, unsigned normal);

/* The number of the slot at this onset, from the bar line; -1 where none is. */
int span_slot_at(const struct span *span, struct fraction onset);

/* The pattern spelled and placed; made at its first use. */
const struct placed *span_place(struct frames *frames, struct span *span,
                                struct spelling_onsets onsets);

/* A rest of `beats` whole beats (1, 2, 4 ... up to rest_beats) from `beat` on. */
static inline const struct leaf *frame_rest(const struct frame *frame, size_t beat, unsigned beats)
{
    return &frame->rests[beat][__builtin_ctz(beats)];
}
/* A rest that fills the bar. */
struct leaf frame_bar_rest(const struct frame *frame);

/* What a beat says of itself in the score. */
void frame_score_beat(const struct frame *frame, size_t beat, const struct span *span,
                      struct score_beat *out);

#endif
