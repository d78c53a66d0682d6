#ifndef RATAMARK_MODEL_RUDIMENT_H
#define RATAMARK_MODEL_RUDIMENT_H
/* The forty international drum rudiments (Percussive Arts Society, 1984) by name. */
#include <stdbool.h>
#include <stddef.h>

struct rudiment {
    int number;
    const char *name;    /* "single paradiddle" */
    const char *family;  /* "roll", "diddle", "flam", "drag" */
    const char *strokes; /* a stroke line: the right lead, then the left where it alternates */
};

enum { RUDIMENT_COUNT = 40 };
/* By its number, 1 to 40; NULL for another. */
const struct rudiment *rudiment_get(int number);
/* By name; case, hyphens, spaces and the sign of "#1" ignored. NULL where there is none. */
const struct rudiment *rudiment_find(const char *name, size_t length);

#endif
