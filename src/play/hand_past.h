#ifndef RATAMARK_PLAY_HAND_PAST_H
#define RATAMARK_PLAY_HAND_PAST_H
/*
 * What a hand has struck so far, as far as it can still matter, while hands are tried out:
 *
 *     trial      a row, the blows of each event in either hand as the judge has them, and the tempo
 *     past       of a hand: blows that may yet be rebounds, and the driven ones that a long row of
 *                strokes can begin with
 *     label      a past of each hand, and what it cost to get there
 *
 *     trial_begin()   once for a row
 *     trial_set()     for each tempo and stretch of the row
 *     trial_push()    adds an event to a label in one of its ways, judges what that settles just as
 *                     judge.c would, and counts the limits that it breaks
 *     trial_forget()  drops what is too long ago to matter, so that most pasts become equal
 *     trial_close()   nothing follows: judges what is still open
 *     trial_blows()   the row as the judge wants it
 *     trial_end()     frees what trial_begin() made
 */
#include "play/hands_int.h"

enum { QUEUE_MOST = 10, HEAD_MOST = 32 };

/* The blows of an event in one of its ways, of each role. */
struct strike {
    uint32_t first[2];
    uint8_t count[2];
};

/* What a stretch is compared with: at the tempo, `ticks` last `us`. */
struct pace {
    int64_t ticks, us;
    bool faster; /* an exact fit is not enough */
};

struct trial {
    const struct hand_row *row;
    const struct reach *reach;
    VECTOR(struct blow) blows;   /* blow.bar is the number of its event */
    struct strike (*strikes)[2]; /* by event and by `turned` */
    bool graced;                 /* some blow is early, or one of several of an event */
    int32_t early_most;
    struct needs needs[2];
    uint8_t *numbers;   /* by number in the reach: the row's own number of a voice */
    size_t voice_count; /* that the row has */

    struct pace pace;
    size_t begin, end; /* events; what is after the row's last one is of a repeat */
    bool again_once;   /* a stroke that breaks a limit in the repeat, too, does so once */
    int64_t rest, cap; /* ticks after which a hand is as if it had not struck */
    int64_t cross;     /* ticks of CROSS_WINDOW_US */
    int64_t row_ticks[2][LIMIT_STROKES_MOST + 1]; /* that a row of so many strokes takes */
    int64_t row_step[2]; /* a stroke more in a row takes at most that much more */
    int64_t bounce_ticks[2];
    int64_t *pair_ticks[2]; /* [from * voice_count + to]; 0: not worked out yet */
};

/* A hand's blows so far, by their numbers. queue[0] is driven and judged, the others wait until it
   is known whether they are its rebounds; there is always one, unless the hand is rested. */
struct past {
    int64_t gap;      /* from the blow before queue[0]; `cap`: long, or none */
    uint16_t crossed; /* bit i: queue[i] found the other arm in its way */
    uint8_t waiting, driven;
    uint32_t queue[QUEUE_MOST];
    uint32_t rows[LIMIT_STROKES_MOST]; /* driven, the latest first */
};

struct label {
    uint32_t breaks;
    uint32_t step;  /* for the caller: how the label came about */
    uint64_t early; /* how long before the end, in events, the breaks are, added up */
    struct habit_cost habits;
    uint64_t hash;
    uint64_t order;       /* for the caller: less where the leading hand comes earlier */
    uint32_t head;        /* for the caller: the choices of the events with which a repeat begins */
    uint64_t broken;      /* which strokes of these break a limit: bit 2 * event + role */
    bool turned;          /* the latest choice */
    struct past pasts[2]; /* by role */
};

void trial_begin(struct trial *trial, const struct hand_row *row, const struct reach *reach);
void trial_set(struct trial *trial, struct pace pace, size_t begin, size_t end);
void trial_end(struct trial *trial);

/* Nothing has been struck. */
void trial_start(const struct trial *trial, struct label *label);
void trial_push(const struct trial *trial, struct label *label, size_t at, bool turned);
void trial_forget(const struct trial *trial, struct label *label, size_t next);
void trial_close(const struct trial *trial, struct label *label);

/* The blows of the whole row in its chosen hands, and of its repeat; each event counts as a bar. */
void trial_blows(const struct trial *trial, struct timeline *timeline);

void label_copy(struct label *to, const struct label *from);
/* A digest of the pasts, and whether those of two labels are equal. */
uint64_t label_digest(const struct label *label);
bool label_same_pasts(const struct label *a, const struct label *b);

#endif
