#ifndef RATAMARK_PLAY_PLAY_H
#define RATAMARK_PLAY_PLAY_H
/*
 * Whether two hands and two feet can play an exercise: its strokes against the time that each limb
 * needs, the highest tempo at which it is playable, and what the limit is (ratamark(1),
 * PLAYABILITY).
 */
#include "diag/diag.h"
#include "model/score.h"
#include "model/verdict.h"

struct play_options {
    uint32_t at;                 /* quarters a minute to check at; 0: the lesson's own tempos */
    bool words;                  /* verdicts have words for the sheet */
    bool hands_chosen;           /* the hands that notes have as `proposed` are to be judged */
    const struct limits *limits; /* of a level; NULL: each exercise's own, else advanced */
};

/* Judges every exercise of a score without errors and sets its verdict. Reports each stroke that
   cannot be played, and the verdict as a note, unless `diags` is NULL. */
void play_check(struct score *score, const struct play_options *options, struct diags *diags);

/* Gives every note that asks for a hand (`?`, `sticking: auto`) a player's, and its letter. */
void play_fill_hands(struct score *score);

/* Forgets the hands that were chosen for a verdict, so that the next one chooses its own. */
void play_forget_hands(struct score *score);

/* Where in its bar a note is struck, as it is counted: "2&", "3/4" (of a beat whose slots have no
   words of their own), "after 2" (between counts). */
const char *play_count(struct arena *arena, const struct score_bar *bar, const struct note *note);

/* A verdict in a few words: "105.8 bpm (intermediate)", and what limits it, "" where nothing does.
 */
const char *play_tempo_words(const struct score *score, const struct verdict *verdict);
const char *play_limit_words(const struct score *score, const struct verdict *verdict);

/* Sets the verdict of one exercise. */
void play_judge_exercise(struct score *score, struct score_exercise *exercise,
                         const struct play_options *options);

#endif
