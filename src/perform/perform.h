#ifndef RATAMARK_PERFORM_PERFORM_H
#define RATAMARK_PERFORM_PERFORM_H
/* From a score, which is written, to a performance, which is heard. */
#include "model/choice.h"
#include "model/performance.h"
#include "model/score.h"
#include "model/tempo.h"

struct perform_options {
    struct exercise_choice exercises;
    unsigned at;        /* beats a minute; 0: the slowest that is written first */
    bool ladder;        /* each exercise climbs the steps of its tempo */
    unsigned step;      /* beats a minute from step to step; 0: the steps that are printed */
    unsigned step_bars; /* each step takes at least so many bars; 0: the exercise once */
    unsigned times;     /* how often each is played, at least; 0: once */
    unsigned count_in;  /* bars before each exercise and each step */
    bool click;         /* after the count-in, too */
    bool drums;         /* false: the click alone */
    unsigned
        quiet_after; /* the click sounds for so many bars and is silent for as many; 0: always */
    bool loop;       /* no count-in, no pickup; what rings over the end rings at the beginning */
};

/* Where no tempo is written. */
enum { PERFORM_TEMPO = 60 };

/* The longest that is performed. */
enum { PERFORM_BARS_MAX = 65536, PERFORM_STRIKES_MAX = 2097152 };

/*
 * Performs the exercises that are chosen, one after the other. On the score's arena. NULL, with a
 * reason to tell in *why, where that would be longer than what is performed, or nothing at all.
 */
struct performance *perform(const struct score *score, const struct perform_options *options,
                            const char **why);

/* The tempi of an exercise's ladder, in beats a minute of its own beat; at least one. */
size_t perform_rungs(const struct score_exercise *exercise, const struct perform_options *options,
                     unsigned rungs[TEMPO_RUNGS_MAX]);

#endif
