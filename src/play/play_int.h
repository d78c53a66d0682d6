#ifndef RATAMARK_PLAY_PLAY_INT_H
#define RATAMARK_PLAY_PLAY_INT_H
/*
 * What the files of this stage share. Order of work on an exercise:
 *
 *     reach.c          what a limb needs from voice to voice
 *     timeline.c       the bars as they are played, as rows of blows: one row a limb, in ticks
 *     proposals.c      a hand for each stroke whose hand is not written (hands.h)
 *     stretches.c      what a limb needs from stroke to stroke
 *     judge.c          every stretch between two blows: is there the time that it needs?
 *     crossing.c       where the hands cross
 *     hi_hat.c         what opens and closes the hi-hat
 *     conflicts.c      strokes at the same time that exclude each other
 *     judgement.c      what these found: the limit, or what is too fast at a tempo
 *     verdict_words.c  that in words
 *
 * A limb is known by what it does, not by its side: so a left-handed kit is judged as its mirror
 * image is.
 */
#include "base/vector.h"
#include "model/limits.h"
#include "model/playback.h"
#include "model/score.h"
#include "model/verdict.h"
#include "play/play.h"

enum limb_role { STRONG_HAND, WEAK_HAND, BASS_FOOT, HAT_FOOT, PLAYING_LIMBS, EITHER_HAND };

/* The role of a limb, and the limb of a role. LIMB_HAND, a hand that is not written, is
   EITHER_HAND. */
uint8_t role_of_limb(uint8_t limb, bool left_handed);
uint8_t limb_of_role(uint8_t role, bool left_handed);

enum blow_flag {
    BLOW_ACCENT = 1 << 0,
    BLOW_GHOST = 1 << 1,
    BLOW_GRACE = 1 << 2,
    BLOW_OPEN_HAT = 1 << 3,
    BLOW_BUZZ = 1 << 4,
    BLOW_REBOUND = 1 << 5 /* the stick comes back by itself; set by the judge */
};

/* A stroke of one limb. */
struct blow {
    int64_t tick;     /* of its main stroke */
    int32_t early_us; /* of a grace stroke: how long before */
    voice_id voice;
    uint8_t role;  /* enum limb_role */
    uint8_t flags; /* enum blow_flag bits */
    uint32_t bar;  /* index among the timeline's bars */
    const struct note *note;
};

/* On the heap, used again for every exercise. */
typedef VECTOR(struct blow) blow_row;

struct timeline_bar {
    const struct score_bar *bar;
    int64_t tick;
};

/* How finely an exercise's time has to be divided. */
struct time_grid {
    int64_t whole;  /* ticks of a whole note on which every onset falls; 0: too many */
    int64_t common; /* what makes ticks last equally long at all its tempos; 0: impossible */
};

struct timeline {
    const struct score_exercise *exercise; /* the one that it shows */
    struct time_grid grid;                 /* timeline_grid() of it */
    blow_row limbs[PLAYING_LIMBS];         /* in order of time */
    uint64_t voices[PLAYING_LIMBS]; /* those of each limb: a bit for each number in reach->used */
    VECTOR(struct timeline_bar) bars;
    int64_t quarter; /* ticks of a quarter at the tempo of the first bar */
    int64_t end;     /* where the last bar ends */
    bool open_hats;  /* some hat stroke is open */
    bool open_hands; /* a hand is not written: the rows end there */
    bool suspect;    /* a stroke of two hands has grace strokes */
    bool too_long;   /* or its divisions are too fine: it cannot be judged */
};

/* The fastest tempo written for a bar, in quarters a minute; zero: none. */
struct fraction play_tempo(const struct score_bar *bar);

/* ---- reach.c ------------------------------------------------------------------------------- */

/* What a limb needs from voice to voice, for one level. */
struct reach {
    const struct kit *kit;
    const struct limits *limits;
    size_t count;     /* voices that are used ... */
    voice_id *used;   /* ... and which */
    uint8_t *index;   /* by voice_id: its number among those; 0xFF: not used */
    int32_t *hand_us; /* [from * count + to]: Fitts's time, 0 on the same surface */
    int32_t *foot_us;
    bool *crossed; /* [strong * count + weak]: is_arm_in_the_way() ... */
    bool crossing; /* ... of some */
    bool crowded;  /* more voices than the 64 bits of timeline.voices */
};

void reach_make(struct reach *reach, const struct score *score, const struct limits *limits,
                struct arena *arena);
/* From one to the other the hand need not move. */
static inline bool same_surface(const struct voice *a, const struct voice *b)
{
    return a->x_cm == b->x_cm && a->y_cm == b->y_cm && a->z_cm == b->z_cm;
}

/* Between the points where they are struck. */
int32_t reach_distance_mm(const struct voice *a, const struct voice *b);

/* ---- timeline.c ---------------------------------------------------------------------------- */

/* The exercise as it is played; `most` as in playback_begin(). The timeline's memory is used again,
   and for the same exercise its ticks, too. */
void timeline_make(struct timeline *timeline, const struct score *score,
                   const struct score_exercise *exercise, const struct reach *reach, uint16_t most);
void timeline_release(struct timeline *timeline);
/* Finds the grid of the exercise, unless it is the one that the timeline had before. */
void timeline_begin(struct timeline *timeline, const struct score *score,
                    const struct score_exercise *exercise);
struct time_grid timeline_grid(const struct score *score, const struct score_exercise *exercise);
/* Ticks of a whole note in each written bar; NULL: grid.whole in all of them. */
int64_t *timeline_bar_wholes(const struct score_exercise *exercise, struct time_grid grid,
                             struct arena *arena);
/* How long a leaf lasts, swung; of a measured roll all that it is tied to. */
struct fraction timeline_duration(const struct score_bar *bar, const struct score_line *line,
                                  const struct leaf *leaf);
/* What a note's marks make of one of its hits: enum blow_flag bits, but for open hats. */
uint8_t blow_flags(const struct note *note, int number);
/* The blows of one leaf's note alone, in the hands that are written or proposed for it. */
void timeline_strike(struct timeline *timeline, const struct reach *reach, const struct leaf *leaf,
                     int64_t tick, int64_t length);

/* ---- judgement.c --------------------------------------------------------------------------- */

/* From a blow of a limb to a later one. */
struct stretch {
    const struct blow *from, *to;
    enum move_kind kind;
    uint8_t role;
    uint16_t strokes;
    int64_t ticks;    /* that there are */
    int32_t takes_us; /* that it needs */
};

/* A stretch that takes longer than there is time, or that is impossible at any tempo. */
struct fault {
    struct move move;
    enum fault_kind {
        FAULT_TIME,
        FAULT_GRACED, /* a two-handed ornament beside another hand's stroke */
        FAULT_PEDAL,  /* closed hats while their foot is on another pedal */
        FAULT_SMALL   /* both hands at once on a small surface */
    } kind;
    struct place at;
};

/* ---- stretches.c --------------------------------------------------------------------------- */

/* What one limb can do at a level. */
struct needs {
    int32_t burst, sustained, rebound, prepare;
    int32_t rows[LIMIT_STROKES_MOST + 1]; /* for so many driven strokes in a row */
    int strokes, bounces;
    const int32_t *moves; /* by voices in the reach */
};

struct needs limb_needs(const struct reach *reach, uint8_t role);
/* Whether a blow can be a rebound of an earlier one, as far as that does not depend on time. */
static inline bool blow_may_rebound(const struct reach *reach, const struct blow *first,
                                    const struct blow *blow)
{
    const struct voice *voices = reach->kit->voices;
    return !(blow->flags & (BLOW_ACCENT | BLOW_GRACE | BLOW_BUZZ)) && !blow->early_us &&
           (blow->voice == first->voice ||
            same_surface(&voices[blow->voice], &voices[first->voice]));
}

/* A blow and the next one of the same limb, perhaps a rebound. */
struct stretch stretch_between(const struct reach *reach, const struct needs *needs,
                               const struct blow *from, const struct blow *to, bool rebound);

/* Whether the limb moves to another surface. */
static inline bool is_travel(const struct reach *reach, const struct blow *from,
                             const struct blow *to)
{
    const struct voice *voices = reach->kit->voices;
    return from->voice != to->voice && !same_surface(&voices[from->voice], &voices[to->voice]);
}

/* A grace stroke and its own note are one gesture, as are two blows of a slash at one moment. */
static inline bool blow_is_gesture(const struct blow *from, const struct blow *to)
{
    return from->tick == to->tick && from->note == to->note;
}

/* Grace strokes come before their note's time: a stretch that ends on one has less time, one that
   begins on one has more. False if it then needs no time at all. */
static inline bool stretch_takes_time(struct stretch *stretch)
{
    stretch->takes_us += stretch->to->early_us - stretch->from->early_us;
    return stretch->takes_us > 0;
}

/* ---- judgement.c, again -------------------------------------------------------------------- */

/* Each limb's strokes in a row, and each of its moves, with the stretch of it that is tightest. */
enum { LIMIT_GROUPS_MOST = 64 };
struct limit_groups {
    struct limit_group {
        struct move move;
        int64_t ticks, us;
    } items[LIMIT_GROUPS_MOST];
    size_t count;
};

struct judgement {
    const struct timeline *timeline;
    const struct reach *reach;
    struct fraction tempo; /* quarters a minute: its faults are sought; FRACTION_OVERFLOW: none is
                              given and the limit is sought */
    struct move limit;     /* the stretch that limits; note NULL: nothing takes time */
    int64_t limit_ticks, limit_us; /* at the highest tempo these ticks last this long */
    int64_t limit_tick;            /* when it ends */
    uint32_t limit_from, limit_to; /* the timeline's bars in which it begins and ends */
    bool impossible;
    struct limit_groups *groups; /* NULL: only the limit is sought */
    const struct note *crossed;  /* the first stroke of crossed hands; NULL: none */
    const struct note *shortens; /* the foot that closes an open hat soonest; NULL: none ... */
    int64_t shortens_ticks;      /* ... so long after its stroke */
    VECTOR(struct fault) faults; /* on the heap; the worst at each place */
};

/* At the tempo, in quarters a minute, the ticks last less than that. */
bool is_too_fast(const struct timeline *timeline, struct fraction tempo, int64_t ticks, int64_t us);
struct move judgement_move(const struct judgement *judgement, const struct stretch *stretch);
void judgement_add_fault(struct judgement *judgement, const struct stretch *stretch,
                         enum fault_kind kind);
/* Strokes that no tempo makes possible, `b` the later limb's. */
void judgement_add_conflict(struct judgement *judgement, enum fault_kind kind, const struct blow *a,
                            const struct blow *b);
/* A limb's strokes in a row are one group, each of its moves another. */
bool judgement_same_group(const struct move *a, const struct move *b);
/* Whether the first has less of the time that it needs than the second. */
bool fault_is_worse(const struct fault *a, const struct fault *b);
/* Takes a stretch, which at its limit lasts `us`, into its group. */
void judgement_add_group(struct judgement *judgement, const struct stretch *stretch, int64_t ticks,
                         int64_t us);
void judgement_release(struct judgement *judgement);

static inline const struct voice *voice_of(const struct judgement *judgement, voice_id voice)
{
    return &judgement->reach->kit->voices[voice];
}

/* ---- judge.c ------------------------------------------------------------------------------- */

/* Marks the rebounds in the timeline's rows. Finds the limit, or the faults at judgement->tempo. */
void judge(struct judgement *judgement, struct timeline *timeline, const struct reach *reach);

/* ---- hi_hat.c ------------------------------------------------------------------------------ */

/* One of the voices of the hi-hat that hands strike. */
static inline bool is_hat(const struct judgement *judgement, voice_id voice)
{
    return same_surface(voice_of(judgement, voice), voice_of(judgement, VOICE_HI_HAT));
}

/* The hats' own foot: a pedal below them. */
bool is_hat_pedal(const struct judgement *judgement, voice_id voice);
bool opens_hats(const struct judgement *judgement, const struct blow *blow);
/* A splash of the foot does not: the hats ring. */
bool closes_hats(const struct judgement *judgement, const struct blow *blow);
/* The next blow of both hands and the hat foot, in order of time, hands first; NULL at the end. */
const struct blow *next_blow(const struct timeline *timeline, size_t at[PLAYING_LIMBS]);

/* ---- crossing.c ---------------------------------------------------------------------------- */

/* A blow of the other hand longer ago is in nobody's way. */
enum { CROSS_WINDOW_US = 250000 };

/* Whether an arm has to pass the other one where it cannot pass over it: the strong hand is more
   than 5 cm to the left of the weak one, by places of a right-handed kit; and neither is 25 cm
   higher than the other, or 5 cm if they are at most 45 cm apart sideways (our own figures). The
   strong hand on the hi-hat or a crash over the weak one on the snare is in nobody's way. */
bool is_arm_in_the_way(const struct voice *strong, const struct voice *weak);
static inline bool reach_crosses(const struct reach *reach, voice_id strong, voice_id weak)
{
    return reach->crossed[reach->index[strong] * reach->count + reach->index[weak]];
}

/* Whether those that the hands use can. */
bool hands_can_cross(const struct judgement *judgement);
/* Ticks since the other hand's last blow, now or before, if that crosses this one; INT64_MAX: it
   does not. `near` is the number of the other hand's first blow after this one: begin with 0, it
   moves on. */
int64_t hands_crossed_gap(const struct judgement *judgement, const struct blow *blow, size_t *near);

/* ---- conflicts.c --------------------------------------------------------------------------- */

/* Whether the voices that are used can be in each other's way at all. */
bool conflicts_possible(const struct judgement *judgement);
void conflicts_find(struct judgement *judgement);

/* ---- proposals.c --------------------------------------------------------------------------- */

struct hand_row;
/* An exercise's hands by habit alone, at a tempo; zero: its own. */
struct hand_row hands_open_row(const struct score *score, const struct score_exercise *exercise,
                               struct time_grid grid, bool repeated, const struct reach *reach,
                               struct fraction tempo, struct arena *arena);

/* ---- play.c --------------------------------------------------------------------------------- */

/* The limits of an exercise with its hands as they are or, where they are not written, the fastest,
   by `groups`, after a change to the strokes of a hand on a voice. */
struct change {
    enum change_kind {
        CHANGE_NOTHING,
        CHANGE_HAND,  /* the other hand has them */
        CHANGE_TURNS, /* the other hand has every second one, of those that are struck alone */
        CHANGE_VOICE  /* they are on another voice */
    } kind;
    uint8_t limb;
    voice_id voice, instead;
};
struct verdict play_limits(struct score *score, struct score_exercise *exercise,
                           const struct limits *limits, struct change change,
                           struct limit_groups *groups);
uint32_t play_group_tenths(const struct limit_group *group, int64_t quarter);

/* ---- verdict_words.c ----------------------------------------------------------------------- */

/* "Playable up to 105.8 quarter notes a minute (intermediate); the limit is ..."; NULL for other
   verdicts. */
const char *words_verdict(const struct score *score, const struct verdict *verdict);

/* Whether a rudiment is asked for by its name: other hands would make it another one. */
bool words_of_rudiment(const struct score_exercise *exercise);

/* Places that were reported. A stroke that comes in several exercises, or with both leads, is
   reported once. */
struct reported {
    struct place faults[DIAGS_LIMIT], crossings[DIAGS_LIMIT];
    size_t fault_count, crossing_count, verdict_count;
};

/* "the left hand from the snare to the high tom (bar 1 at 2)" */
const char *words_move(const struct score *score, const struct move *move);
/* Reports the faults at the tempo of `at`, crossed hands, and the verdict. */
void words_tell(const struct score *score, const struct score_exercise *exercise,
                const struct verdict *verdict, const struct judgement *limit,
                const struct judgement *at, struct reported *reported, struct diags *diags);

#endif
