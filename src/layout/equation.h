#ifndef RATAMARK_LAYOUT_EQUATION_H
#define RATAMARK_LAYOUT_EQUATION_H
/* Notes in a line of text, one side as long as the other: what a swing makes of a pair of notes,
   and which note lasts as long as which. */
#include "layout/layout.h"
#include "layout/pen.h"

struct small_note {
    uint8_t log2, dots;
};
struct small_group {
    struct small_note notes[2];
    uint8_t count;
    uint8_t tuplet; /* 0: none */
};
struct equation {
    struct small_group sides[2];
};

/* A line of text and notes, drawn or only measured, from its left end on. */
struct note_text {
    const struct layout *layout;
    struct pen *pen; /* NULL: measured */
    sp x, y;         /* where it has come, on the baseline */
    sp top;          /* of the group of notes that is being set */
};
void note_text_words(struct note_text *at, const char *text);
void note_text_note(struct note_text *at, struct small_note note);
void note_text_equation(struct note_text *at, const struct equation *equation);

/* What a pair of halves becomes when the first takes this share; false if notes cannot say it. */
bool equation_of_swing(struct fraction share, int half_log2, struct equation *equation);
struct equation equation_of_pulse(const struct pulse *pulse);

/* A length beside the tempo's text. */
sp note_text_scaled(const struct layout *layout, sp length);

#endif
