#ifndef RATAMARK_MODEL_LIMITS_H
#define RATAMARK_MODEL_LIMITS_H
/*
 * What a player of each level can do: the time that strokes need (ratamark-lesson(5), LEVELS). A
 * course may change every figure and add its own levels.
 */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* X(name, word, unit, beginner, intermediate, advanced, what it is). Units: MS milliseconds,
   PERCENT, COUNT, CM. Times and factors are our own unless a source is named beside them. */
#define LIMIT_KEYS(X)                                                                              \
    /* 5-7 Hz is the usual limit of one hand's tapping (Fujii and others, Neurosci. Lett. 2009) */ \
    X(HAND_BURST, "hand-burst", MS, 200, 150, 115, "one hand, from a stroke to the next")          \
    /* sixteenths by one hand for a whole song: 156 ms (Rasanen and others, PLoS ONE 2015) */      \
    X(HAND_SUSTAINED, "hand-sustained", MS, 250, 180, 140, "one hand, each stroke of many")        \
    /* 40-160 ms from bounce to bounce (Hajian, Sanchez, Howe, Proc. IEEE ICRA 1997) */            \
    X(BOUNCE, "bounce", MS, 150, 90, 60, "from a stroke to its rebound")                           \
    X(BOUNCES, "bounces", COUNT, 2, 2, 3, "strokes of the longest group that rebounds")            \
    X(EVENNESS, "evenness", PERCENT, 150, 150, 150, "how much longer the gaps around a rebound")   \
    /* 100: the untrained hands of Fitts (J. Exp. Psychol. 1954) */                                \
    X(REACH, "reach", PERCENT, 110, 69, 60, "share of the time that Fitts's law gives a move")     \
    X(WEAK_HAND, "weak-hand", PERCENT, 110, 105, 100, "times of the weaker hand")                  \
    /* foot tapping: 315 ms, 225 at two standard deviations (Numasawa and others, Spine 2012) */   \
    X(FOOT_BURST, "foot-burst", MS, 250, 170, 115, "bass drum foot, from a stroke to the next")    \
    X(FOOT_SUSTAINED, "foot-sustained", MS, 350, 240, 175, "bass drum foot, each of many")         \
    X(HEEL_TOE, "heel-toe", MS, 240, 150, 100, "the second stroke of a foot's double")             \
    X(HAT_FOOT_BURST, "hat-foot-burst", MS, 300, 200, 140, "hi-hat foot, to the next stroke")      \
    X(HAT_FOOT_SUSTAINED, "hat-foot-sustained", MS, 400, 280, 175, "hi-hat foot, each of many")    \
    X(HAT_CLOSE, "hat-close", MS, 200, 150, 100, "from an open hi-hat to a closed one")            \
    X(CROSS, "cross", MS, 60, 40, 20, "more for a move into or out of crossed hands")              \
    X(PREPARE, "prepare", MS, 40, 12, 10, "more for an accent after a ghost of the same hand")     \
    X(GRACE, "grace", MS, 25, 25, 25, "a grace stroke before its main stroke")                     \
    X(STROKES, "strokes", COUNT, 9, 9, 9, "driven strokes in a row that count as sustained")       \
    X(SMALL, "small", CM, 8, 8, 8, "a surface narrower than this holds one stick at a time")

enum limit_key {
#define LIMIT_ENUM(name, word, unit, beginner, intermediate, advanced, about) LIMIT_##name,
    LIMIT_KEYS(LIMIT_ENUM)
#undef LIMIT_ENUM
        LIMIT_KEY_COUNT
};

enum limit_unit { UNIT_MS, UNIT_PERCENT, UNIT_COUNT, UNIT_CM };

enum player_level { LEVEL_BEGINNER, LEVEL_INTERMEDIATE, LEVEL_ADVANCED, LEVEL_COUNT };

/* A level: its word, and its value of each key in the key's unit (times in microseconds). */
struct limits {
    const char *name;
    int32_t values[LIMIT_KEY_COUNT];
};

/* A built-in level, by number or by name; NULL if there is no such name. */
const struct limits *limits_builtin(enum player_level level);
const struct limits *limits_find(const char *name, size_t length);
/* The given ones; where there are none, those of an advanced player. */
const struct limits *limits_or_usual(const struct limits *limits);

enum limit_unit limit_unit(enum limit_key key);
/* "one hand, from a stroke to the next" */
const char *limit_about(enum limit_key key);
/* The key with this word; false if there is none. */
bool limit_from_word(const char *word, enum limit_key *key);

/* The values that a course may give a key, in the key's unit (times in milliseconds). */
struct limit_range {
    int32_t least, most;
};
struct limit_range limit_range(enum limit_key key);

/* The longest row of strokes that `strokes` may ask for. */
enum { LIMIT_STROKES_MOST = 64 };

/* The fastest times ever measured, in milliseconds; a course cannot set less. One hand, from stroke
   to stroke: 10 Hz (Fujii and others, Neurosci. Lett. 2009), and the same for a minute: 1,208
   strokes of two hands in 60 s (drumming contest, news reports of July 2013). Rebound: 40 ms
   (Hajian and others 1997). */
enum { FASTEST_HAND_MS = 100, FASTEST_BOUNCE_MS = 40 };

#endif
