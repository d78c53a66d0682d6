#ifndef RATAMARK_MODEL_VERDICT_H
#define RATAMARK_MODEL_VERDICT_H
/* How fast an exercise can be played, and what limits it. */
#include "model/limits.h"
#include "model/voice.h"

enum verdict_kind {
    VERDICT_TEMPO,      /* playable up to `max_tenths` */
    VERDICT_UNLIMITED,  /* nothing in it takes time: at most one stroke a limb */
    VERDICT_IMPOSSIBLE, /* something in it cannot be played at any tempo */
    VERDICT_UNKNOWN     /* too long or too finely divided to judge */
};

/* What a stroke needs its time for. */
enum move_kind {
    MOVE_BOUNCE,   /* the stick's rebound */
    MOVE_REPEAT,   /* the same limb on the same surface again */
    MOVE_SUSTAIN,  /* many driven strokes of a limb in a row */
    MOVE_TRAVEL,   /* from one surface to another */
    MOVE_CROSS,    /* the same, into or out of crossed hands */
    MOVE_HAT_CLOSE /* an open hi-hat that has to be closed */
};

/* Why a move is slower than its strokes alone, other than a change of surface. */
enum move_cause {
    CAUSE_NONE,
    CAUSE_ACCENT,     /* an accent after a ghost note: the stick is raised between */
    CAUSE_TO_GRACE,   /* it leads to a grace stroke, which comes before its note */
    CAUSE_FROM_GRACE, /* it leads from one */
};

struct note;
struct score_bar;

/* A move between two strokes and the time that it takes. */
struct move {
    uint8_t kind;  /* enum move_kind */
    uint8_t limb;  /* enum limb */
    uint8_t cause; /* enum move_cause */
    voice_id from, to;
    uint16_t strokes;          /* MOVE_SUSTAIN: how many in the row, else 2 */
    int64_t ticks;             /* there are, of `quarter` ticks each at the written tempo */
    int32_t takes_us;          /* microseconds that it takes */
    const struct note *begins; /* the stroke that it leads from, of a row of them the first */
    const struct note *note;   /* the stroke that it leads to */
    const struct score_bar *bar;
    int64_t tick; /* where in the bar, from its beginning */
};

struct verdict {
    enum verdict_kind kind;
    const struct limits *limits; /* of the level that it is for */
    uint32_t max_tenths; /* tenths of a quarter a minute, rounded down; if tempos change, the
                            first bar's */
    int64_t quarter;     /* ticks */
    struct move limit;   /* VERDICT_TEMPO: the move that limits it */
    const char *words;   /* for the sheet; NULL: not asked for */
    bool proposed; /* some hands were chosen: it is for those that are fastest (of a form: in each
                      part) */
};

/* "bounce", "repeat", "sustain", "travel", "cross", "hat-close". */
const char *move_word(enum move_kind kind);

#endif
