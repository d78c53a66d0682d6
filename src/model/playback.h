#ifndef RATAMARK_MODEL_PLAYBACK_H
#define RATAMARK_MODEL_PLAYBACK_H
/*
 * The bars of an exercise in the order in which they are played: repeats and endings gone through,
 * a practice form's exercises one after the other. For whoever follows the music and not the page.
 *
 *     struct playback playback;
 *     struct played_bar played;
 *     playback_begin(&playback, score, exercise, 0);
 *     while (playback_next(&playback, &played)) ... played.bar, played.start ...
 *
 * Of a score without errors. Nothing is allocated. A form of forms can be longer than anything that
 * is played: whoever keeps what comes sets itself a limit.
 */
#include "model/score.h"

enum { PLAYBACK_DEPTH_MAX = 8 }; /* forms within forms */

struct played_bar {
    const struct score_exercise *exercise; /* the bar's own: in a practice form an earlier one */
    const struct score_bar *bar;
    uint32_t index;        /* among the exercise's bars */
    uint16_t pass;         /* time through the repeat that it stands in, from 1 */
    bool begins;           /* first bar of an exercise's playing */
    struct fraction start; /* from the first stroke on, in whole notes: where the bar begins; a
                              leaf's moment is start + onset - bar->start */
};

/* Where in one exercise the playing is. */
struct playback_frame {
    const struct score_exercise *exercise;
    size_t next;    /* bar, or step of a form */
    size_t section; /* bar that the repeat goes back to */
    uint16_t pass;  /* time through, or of the step; from 1 */
    bool in_form;   /* a form's step: how often is the form's to say, not a repeat of the whole */
};

struct playback {
    const struct score *score;
    uint16_t most;
    struct playback_frame frames[PLAYBACK_DEPTH_MAX];
    size_t depth;
    struct fraction now;
    bool cut; /* forms stood deeper in each other than PLAYBACK_DEPTH_MAX: those were left out */
};

/* Starts at an exercise's beginning. `most` 0: all is played as often as it is written; else of
   equal times through in a row only so many are played, the first ones and the last (at least 2).
 */
void playback_begin(struct playback *playback, const struct score *score,
                    const struct score_exercise *exercise, uint16_t most);
/* The next bar; false at the end. */
bool playback_next(struct playback *playback, struct played_bar *played);

#endif
