#ifndef RATAMARK_MODEL_RUDIMENT_H
#define RATAMARK_MODEL_RUDIMENT_H
/* The forty international drum rudiments (Percussive Arts Society, 1984) by name. */
#include <stdbool.h>
#include <stddef.h>

struct rudiment {
    int number;
    const char *name;    /* "single paradiddle" */
    const char *family;  /* "roll", "diddle", "flam", "drag" */
    const char *rhythm;  /* a rhythm line: one figure, led by either hand */
    const char *strokes; /* a stroke line: the right lead, then the left where it alternates */
};

enum { RUDIMENT_COUNT = 40 };
/* By number, 1 to 40; NULL for any other. */
const struct rudiment *rudiment_get(int number);
/* By name, ignoring case, hyphens, spaces and the # of "#1"; "paradiddle" and its like are the
   single ones. NULL if there is none. */
const struct rudiment *rudiment_find(const char *name, size_t length);
/* Every name, as it is usually written: the forty, then those that need no "single". Returns how
   many there are. */
/* `5 stroke roll`: the one with the number as a word; NULL: none. */
const struct rudiment *rudiment_in_digits(const char *name);
enum { RUDIMENT_NAMES_MAX = 2 * RUDIMENT_COUNT };
size_t rudiment_names(const char *names[RUDIMENT_NAMES_MAX]);

#endif
