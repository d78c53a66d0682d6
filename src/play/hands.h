#ifndef RATAMARK_PLAY_HANDS_H
#define RATAMARK_PLAY_HANDS_H
/*
 * Chooses a hand for each stroke whose hand is not written, so that the whole row costs least.
 *
 * A row is the events of the hands' line in order. What an event costs a hand depends on that
 * hand's last event, if that is at most HANDS_BACK events ago; a hand that rested longer is free:
 *
 *     load     (the time that the move or the repeat needs / the time that there is)^2. No stroke
 *              counts as a rebound: doubles are for the author to write, not to be proposed
 *
 * Each style minimises its own sum first and the load second. If rows cost the same, the one in
 * which the leading hand plays earlier is chosen.
 */
#include "model/score.h"

enum { HANDS_BACK = 6 };

enum stick_style {
    STICK_EFFORT,    /* the load */
    STICK_ALTERNATE, /* how often one hand alone strikes twice in a row */
    STICK_NATURAL,   /* how often the hand is not the one whose turn it is on the grid */
    STICK_TRAVEL,    /* millimetres that the hands move */
    STICK_FASTEST    /* the largest load, then effort: for verdicts */
};

struct hand_event {
    struct note *note;
    int64_t tick;
    voice_id voices[2]; /* of one hand's event only the first */
    uint8_t count;      /* 1, or 2: both hands */
    bool given;         /* its hands are written */
    bool turned;        /* chosen or written: the other hand has voices[0], not the leading one */
    bool odd;           /* on the grid it is the other hand's turn */
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
/* Where all strokes are voices by count: gives the leading hand the voice that keeps time (a
   hi-hat, a ride or a bell with the most strokes), if one hand can play it. */
void hands_keep_time(struct hand_row *row, const struct score_exercise *exercise,
                     const struct reach *reach);
/* Chooses `turned` for each event whose hands are not given. */
void hands_choose(struct hand_row *row, const struct reach *reach, enum stick_style style);
/* Sums over a row whose hands are chosen. */
struct hand_sums {
    double load;         /* per stroke, at one quarter a second */
    int64_t travel_mm;   /* of both hands */
    uint32_t repeats;    /* how often one hand alone strikes twice in a row */
    uint32_t off_slot;   /* strokes of one hand when it is the other's turn */
    uint32_t strokes[2]; /* of the right hand, of the left */
    uint32_t open;       /* events whose hand was chosen */
};
struct hand_sums hands_sums(const struct hand_row *row, const struct reach *reach);

/* The hand that plays hit 0 or 1 of an event. */
uint8_t hands_limb(const struct hand_row *row, const struct hand_event *event, int hit);

/* Chooses the hands of an exercise for a level and writes them into its notes as `proposed`. Sums
   are given for these hands and, to compare, for alternating ones. */
struct hand_row play_choose_hands(struct score *score, const struct score_exercise *exercise,
                                  const struct limits *limits, enum stick_style style,
                                  struct hand_sums *sums, struct hand_sums *alternating);
/* Whether the new line is the old one with the proposed hands written, and nothing else changed. */
bool play_same_line(const struct score_line *old, const struct score_line *new);

/* "R", "L" or "B". */
char hands_letter(const struct hand_row *row, const struct hand_event *event);
/* Writes the choice into the notes, as `proposed`. */
void hands_note(const struct hand_row *row);

#endif
