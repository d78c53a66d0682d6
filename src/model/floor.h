#ifndef RATAMARK_MODEL_FLOOR_H
#define RATAMARK_MODEL_FLOOR_H
/* The kit seen from above: where the voices that a lesson uses stand. The plans of terminal and
   page and the text reading share these places. */
#include "model/score.h"

enum {
    FLOOR_SURFACES_MOST = 99,
    FLOOR_STOOL_Y_CM = -50,  /* its middle, straight behind the snare (our own figure) ... */
    FLOOR_STOOL_SIZE_CM = 33 /* ... and its width, common practice */
};

/* Voices that share a place are one surface. */
struct floor_surface {
    const struct voice *voices[LESSON_VOICES_MAX];
    size_t count;
    int x, y; /* cm from the snare's middle, right and away; mirrored for a left-handed kit */
    bool pedal;
};

/* Writes the surfaces in the order of their first voices, at most FLOOR_SURFACES_MOST. Returns how
   many. */
size_t floor_gather(const struct score *score, struct floor_surface *surfaces);

/* The name of its first voice. */
const char *floor_name(const struct floor_surface *surface);

/* True if the page shows the plan: the lesson asks for it and uses some voice. */
bool floor_shown(const struct score *score);

#endif
