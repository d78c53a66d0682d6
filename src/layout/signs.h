#ifndef RATAMARK_LAYOUT_SIGNS_H
#define RATAMARK_LAYOUT_SIGNS_H
/* Which sign of the music face stands for what; and texts that are set in its signs. */
#include "layout/pen.h"

/* Beams or flags of a written value: 0 for a quarter and longer. */
static inline int value_beams(int value_log2)
{
    return value_log2 > 2 ? value_log2 - 2 : 0;
}
enum glyph flag_glyph(int flags, bool up);
enum glyph rest_glyph(int value_log2);
enum glyph tuplet_digit(char digit); /* or a colon */
/* A note in a line of text; its shortest is a 32nd. */
enum glyph small_note_glyph(int value_log2);

/* A text whose letters are signs of the face, each as far from the next as its advance says. */
typedef enum glyph letter_sign(char letter);
sp signs_advance(const struct metrics *metrics, letter_sign *sign, const char *text);
void signs_draw(struct pen *pen, enum mark_role role, letter_sign *sign, const char *text, sp x,
                sp y);
void signs_draw_scaled(struct pen *pen, enum mark_role role, letter_sign *sign, const char *text,
                       sp x, sp y, int scale);

#endif
