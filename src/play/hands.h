#ifndef RATAMARK_PLAY_HANDS_H
#define RATAMARK_PLAY_HANDS_H
/*
 * Which hand: for strokes whose hand is not written, the one that makes the whole row cost least,
 * by dynamic programming over both hands.
 *
 * A row is the events of the hands' line in order. What an event costs a hand depends on that
 * hand's last event, if it lies at most HANDS_BACK events before (a hand that rested longer starts
 * afresh):
 *
 *     load     (time that the move or repetition takes / time that there is)^2; no stroke is taken
 *              for a rebound: a double is asked for, not proposed
 *
 * and each style adds up its own first, load second. Of equal rows the first counts in which the
 * leading hand comes earlier.
 */
#include "model/score.h"

enum { HANDS_BACK = 6 };

enum stick_style {
    STICK_EFFORT,    /* the load */
    STICK_ALTERNATE, /* events struck by the hand alone that struck the event before alone */
    STICK_NATURAL,   /* events that leave the hand of their slot in the even grid */
    STICK_TRAVEL,    /* millimetres that the hands move */
    STICK_FASTEST    /* the largest load; of equal ones, effort: for verdicts */
};

struct hand_event {
    struct note *note;
    int64_t tick;
    voice_id voices[2]; /* of one hand's event only the first */
    uint8_t count;      /* 1, or 2: both hands */
    bool given;         /* its hands are written */
    bool turned;        /* the choice, or what is written: false: the leading hand has voices[0] */
    bool odd;           /* its slot in the even grid is the other hand's */
};

struct hand_row {
    struct hand_event *events;
    size_t count;
    int64_t quarter; /* ticks */
    bool left_leads;
};

struct reach;

/* The hands' events of an exercise's written bars, in their order; from the arena. `whole`: ticks
   of a whole note, by timeline_whole(); 0, for divisions that are too fine, gives an empty row.
   `lettered`: for letters, which give an event of both hands (B) its first voice to the right one;
   `slots`: `odd` is found, which natural sticking needs. */
struct hand_row hands_gather(const struct score_exercise *exercise, int64_t whole, bool lettered,
                             bool slots, struct arena *arena);
/* Chooses `turned` for all events that are not given. */
void hands_choose(struct hand_row *row, const struct reach *reach, enum stick_style style);
/* What a row of chosen hands adds up to. */
struct hand_sums {
    double load;         /* per stroke, at one quarter a second */
    int64_t travel_mm;   /* of both hands */
    uint32_t repeats;    /* events of one hand alone after one of the same */
    uint32_t off_slot;   /* events of one hand that leave their slot's */
    uint32_t strokes[2]; /* of the right hand, of the left */
    uint32_t open;       /* events whose hand was chosen */
};
struct hand_sums hands_sums(const struct hand_row *row, const struct reach *reach);

/* The limb that has hit `hit` of an event. */
uint8_t hands_limb(const struct hand_row *row, const struct hand_event *event, int hit);

/* Chooses the hands of an exercise for a level, as letters; writes them into its notes as
   `proposed`. What they add up to, and what alternation would. */
struct hand_row play_choose_hands(struct score *score, const struct score_exercise *exercise,
                                  const struct limits *limits, enum stick_style style,
                                  struct hand_sums *sums, struct hand_sums *alternating);
/* Whether the one line is the other with the proposed hands written, and nothing else changed. */
bool play_same_line(const struct score_line *old, const struct score_line *new);

/* "R", "L" or "B". */
char hands_letter(const struct hand_row *row, const struct hand_event *event);
/* Writes the choice into the notes, as `proposed`. */
void hands_note(const struct hand_row *row);

#endif
