#ifndef RATAMARK_MODEL_PLAYBACK_H
#define RATAMARK_MODEL_PLAYBACK_H
/*
 * The bars of an exercise in the order in which they are played: repeats, endings and jumps written
 * out, the exercises of a practice form one after the other. For sound and playability.
 *
 *     struct playback playback;
 *     struct played_bar played;
 *     playback_begin(&playback, score, exercise, 0);
 *     while (playback_next(&playback, &played)) ... played.bar, played.start ...
 *
 * The score must have no errors. Nothing is allocated. Forms of forms can become very long: a
 * caller that stores the bars must set a limit.
 */
#include "model/score.h"

enum { PLAYBACK_DEPTH_MAX = 8 }; /* forms within forms */

struct played_bar {
    const struct score_exercise *exercise; /* the bar's own, also within a practice form */
    const struct score_bar *bar;
    uint32_t index;        /* among the exercise's bars */
    uint16_t pass;         /* which time through the repeat around it, from 1 */
    bool begins;           /* the exercise begins here */
    bool jumped;           /* a jump (D.C., D.S.) came before */
    struct fraction start; /* in whole notes from the very beginning; a leaf is played at
                              start + onset - bar->start */
};

/* The position in one exercise. */
struct playback_frame {
    const struct score_exercise *exercise;
    size_t next;    /* bar, or step of a form */
    size_t section; /* the bar that the repeat goes back to */
    uint16_t pass;  /* times through so far, of the exercise or of the form's step; from 1 */
    bool jumped;    /* the exercise's jump was taken: no repeats any more */
    bool in_form;   /* played by a form: the form says how often, not the exercise's own `repeat` */
};

struct playback {
    const struct score *score;
    uint16_t most;
    struct playback_frame frames[PLAYBACK_DEPTH_MAX];
    size_t depth;
    struct fraction now;
    bool cut; /* forms nested deeper than PLAYBACK_DEPTH_MAX were left out */
};

/* Starts at the beginning of an exercise. With `most` 0 everything is played as often as written;
   otherwise at most that many (at least 2) of equal times through in a row: the first ones and the
   last. */
void playback_begin(struct playback *playback, const struct score *score,
                    const struct score_exercise *exercise, uint16_t most);
/* The next bar; false at the end. */
bool playback_next(struct playback *playback, struct played_bar *played);

/* The bars that are played one after the other up to a jump, and after it. A repeat counts once. */
struct bar_range {
    uint32_t first, last;
};
enum { JUMP_RANGES_MAX = 3 };
/* How many ranges; 0 without a jump. */
size_t playback_order(const struct score *score, const struct score_exercise *exercise,
                      struct bar_range ranges[JUMP_RANGES_MAX]);

#endif
