#ifndef RATAMARK_PRACTICE_PRACTICE_H
#define RATAMARK_PRACTICE_PRACTICE_H
/*
 * The practice page: a lesson as one HTML file that plays by itself, without a network. Its script,
 * practice.js, and its look, practice.css, are carried in the program. The page allows nothing but
 * these two, by their digests, so that no text of a lesson can start anything (Content Security
 * Policy Level 3).
 */
#include "base/buffer.h"
#include "model/performance.h"
#include "model/score.h"

/* The widths that music is broken for, narrow first; practice.css says which one is shown. */
enum practice_width { PRACTICE_NARROW, PRACTICE_MIDDLE, PRACTICE_WIDE, PRACTICE_WIDTHS };
extern const struct practice_width_row {
    const char *name;
    uint32_t micrometres;
} practice_widths[PRACTICE_WIDTHS];

struct practice_exercise {
    size_t index;                          /* in the score */
    const struct performance *performance; /* with its count-in; NULL: nothing to play */
    const char *reading;                   /* as text, for screen readers */
    struct buffer lines[PRACTICE_WIDTHS];  /* SVG */
};

struct practice_parts {
    const struct practice_exercise *exercises;
    size_t count;
    const char *head, *tail;    /* of the lesson as text */
    const char *shapes;         /* SVG that all lines use */
    const struct buffer *sheet; /* SVG of the printed pages */
};

void practice_page(const struct score *score, const struct practice_parts *parts,
                   struct buffer *out);

#endif
