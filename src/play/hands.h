#ifndef RATAMARK_PLAY_HANDS_H
#define RATAMARK_PLAY_HANDS_H
/*
 * Chooses a hand for each stroke whose hand is not written. A row is the events of the hands' line
 * in order. Before a choice is made:
 *
 *     hands_gather()       hand_row.c      the events
 *     hands_find_habits()  time_keeper.c   which hand a player would use for each, and why
 *
 * Then, as a player would:
 *
 *     hands_by_habit()     hand_habits.c   the hands that keep most habits
 *     hands_within()       hand_search.c   the same among those that break no limit at a tempo
 *
 * or by a style, of which each minimises its own sum first and the load second:
 *
 *     hands_choose()       hands.c
 *
 * There, what an event costs a hand depends on that hand's last event, if that is at most
 * HANDS_BACK events ago; a hand that rested longer is free. The load is (the time that the move or
 * the repeat needs / the time that there is)^2, and no stroke counts as a rebound. If rows cost the
 * same, the one in which the leading hand plays earlier is chosen.
 */
#include "model/score.h"

enum { HANDS_BACK = 6 };

enum stick_style {
    STICK_PLAYER,    /* a player's habits */
    STICK_EFFORT,    /* the load */
    STICK_ALTERNATE, /* how often one hand alone strikes twice in a row */
    STICK_NATURAL,   /* how often the hand is not the one whose turn it is on the grid */
    STICK_TRAVEL     /* millimetres that the hands move */
};

/* What a player chooses the hand of an event by; the later ones outweigh the first. */
enum habit {
    HABIT_BEAT, /* one hand: that of its slot, so that beats are led. Both: uncrossed */
    HABIT_FREE, /* what falls between strokes that keep time is for the hand that is free */
    HABIT_TIME, /* what keeps time stays in the leading hand */
    HABITS
};

struct hand_event {
    struct note *note;
    const struct leaf *leaf;
    const struct score_bar *bar;
    int64_t tick, slot; /* when; and how long a slot of its beat's grid is, 0 if there is none */
    int64_t length;     /* of a note that is divided by slashes */
    voice_id voices[2]; /* of one hand's event only the first */
    uint8_t count;      /* 1, or 2: both hands */
    uint8_t habit;      /* enum habit */
    bool wanted;        /* what `turned` is by that habit */
    bool given;         /* its hands are written */
    bool turned;        /* chosen or written: the other hand has voices[0], not the leading one */
    bool odd;           /* on the grid it is the other hand's turn */
};

struct hand_row {
    struct hand_event *events;
    size_t count;
    int64_t quarter;       /* ticks, at the tempo of the first bar */
    struct fraction tempo; /* of the first bar, in quarters a minute; zero: none */
    size_t again;          /* the event that follows the last one when the exercise is repeated */
    int64_t end;           /* tick at which that event comes in the repeat */
    size_t repeated;       /* events[count] and so many are copies of those from `again` on, as they
                              come in the repeat; 0: there is none */
    bool left_leads; /* by `lead`; on a left-handed kit it does unless `lead` says otherwise */
};

struct reach;
struct time_grid;

/* The hands' events of an exercise's written bars, in their order; from the arena. `grid`: by
   timeline_grid(); one of 0, for divisions that are too fine, gives an empty row. `lettered`: for
   letters, which give an event of both hands (B) its first voice to the right one. `repeated`: the
   exercise is played again after itself, as it is where it goes round. */
struct hand_row hands_gather(const struct score *score, const struct score_exercise *exercise,
                             struct time_grid grid, bool lettered, bool repeated,
                             struct arena *arena);
/* Whether the whole exercise is repeated as it is. */
bool hands_go_round(const struct score_exercise *exercise);
/* Finds what keeps time, and so the habit of each event. */
void hands_find_habits(struct hand_row *row, const struct reach *reach);
/* Chooses `turned` for each event whose hands are not given. */
void hands_choose(struct hand_row *row, const struct reach *reach, enum stick_style style);
void hands_by_habit(struct hand_row *row, const struct reach *reach);
/* Whether the chosen hands break no limit at the row's tempo. */
bool hands_fit(const struct hand_row *row, const struct reach *reach);
/* Chooses, at the row's tempo, the hands that break fewest limits, of these those that break them
   latest, of these those that keep most habits. */
void hands_within(struct hand_row *row, const struct reach *reach);
/* Chooses as a player would. */
void hands_as_player(struct hand_row *row, const struct reach *reach);
/* The search for faster hands of rows whose hands are open, one after the other; the voices of all
   are the same lesson's. */
struct hand_faster;
struct hand_faster *hands_faster_new(void);
void hands_faster_free(struct hand_faster *faster);
void hands_faster_begin(struct hand_faster *faster, const struct hand_row *row,
                        const struct reach *reach);
/* Writes the fastest hands into the row and returns true, if they are faster than the tempo at
   which `ticks` last `us`. */
bool hands_fastest(struct hand_faster *faster, struct hand_row *row, int64_t ticks, int64_t us);
/* The same with faster hands, which need not be the fastest. */
bool hands_faster(struct hand_faster *faster, struct hand_row *row, int64_t ticks, int64_t us);
/* Sums over a row whose hands are chosen. */
struct hand_sums {
    double load;         /* per stroke, at one quarter a second */
    int64_t travel_mm;   /* of both hands */
    uint32_t repeats;    /* how often one hand alone strikes twice in a row */
    uint32_t off_slot;   /* strokes of one hand when it is the other's turn */
    uint32_t strokes[2]; /* of the right hand, of the left */
    uint32_t open;       /* events whose hand was chosen; of these, after hands_find_habits(): */
    uint32_t habits[HABITS]; /* those that have the hand of this habit */
    uint32_t unhabitual;     /* and those that have the other one */
    voice_id time_voice;     /* the voice that keeps time */
};
struct hand_sums hands_sums(const struct hand_row *row, const struct reach *reach);

/* The event of the row that events[at] is a copy of; `at` itself. */
static inline size_t hands_written(const struct hand_row *row, size_t at)
{
    return at < row->count ? at : row->again + at - row->count;
}

/* The hand that plays hit 0 or 1 of an event. */
uint8_t hands_limb(const struct hand_row *row, const struct hand_event *event, int hit);

/* Chooses the hands of an exercise for a level and writes them into its notes as `proposed`. Sums
   are given for these hands and, to compare, for alternating ones. */
struct hand_row play_choose_hands(const struct score *score, const struct score_exercise *exercise,
                                  const struct limits *limits, enum stick_style style,
                                  struct hand_sums *sums, struct hand_sums *alternating);
/* Whether the new line is the old one with the proposed hands written, and nothing else changed. */
bool play_same_line(const struct score_line *old, const struct score_line *new);

/* "R", "L" or "B". */
char hands_letter(const struct hand_row *row, const struct hand_event *event);
/* Writes the choice into the notes, as `proposed`: of all events, of one. */
void hands_note(const struct hand_row *row);
void hands_note_event(const struct hand_row *row, const struct hand_event *event);

#endif
