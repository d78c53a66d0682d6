#ifndef RATAMARK_PERFORM_PERFORM_H
#define RATAMARK_PERFORM_PERFORM_H
/* Turns a score, which is written, into a performance, which is heard. */
#include "model/choice.h"
#include "model/performance.h"
#include "model/score.h"
#include "model/tempo.h"

struct perform_options {
    struct exercise_choice exercises;
    unsigned at;          /* first tempo, in hundredths; 0: the slowest written */
    bool ladder;          /* each exercise climbs the steps of its tempo */
    unsigned step;        /* beats a minute from step to step; 0: the printed steps */
    unsigned step_bars;   /* the least bars for each step; 0: once through the exercise */
    unsigned times;       /* how often each step is played at least; 0: once */
    unsigned count_in;    /* bars before each exercise and each step */
    bool click;           /* also after the count-in */
    bool drums;           /* false: only the click */
    unsigned quiet_after; /* click and silence in turn, this many bars each; 0: no silence */
    bool loop; /* no count-in, no pickup; what rings past the end rings at the beginning */
};

/* Quarters a minute if no tempo is written. */
enum { PERFORM_TEMPO = 60 };

/* A longer performance is refused. */
enum { PERFORM_BARS_MAX = 16384, PERFORM_STRIKES_MAX = 524288 };

/* Performs the chosen exercises one after the other, on the score's arena. NULL if that would be
   too long or nothing; *why then gives the reason. */
struct performance *perform(const struct score *score, const struct perform_options *options,
                            const char **why);

/* The tempos at which an exercise is performed, in hundredths of its own beat a minute; at least
 * one. */
size_t perform_rungs(const struct score_exercise *exercise, const struct perform_options *options,
                     unsigned rungs[TEMPO_RUNGS_MAX]);

#endif
