#ifndef RATAMARK_DRAW_TEXT_FONT_H
#define RATAMARK_DRAW_TEXT_FONT_H
/*
 * A cut of the text family: the installed font for a weight, a slant and a width, and plain text
 * set in it. Most of a page's text is plain: letters, numbers and syllables in the Latin script,
 * left to right, one font. HarfBuzz alone sets it; Pango, which would start threads and sort all
 * fonts of the machine for each cut, is for the rest (text_setter.h).
 */
#include "diag/diag.h"
#include "draw/text_stretch.h"
#include "model/metrics.h"

#define TEXT_FAMILY "Open Sans"

/* False, with an `unreadable` error in diags, on a system without any font. */
bool text_family_possible(struct diags *diags);

/* The family's fonts on this machine. */
struct text_family;

/* A missing family, or one without its condensed cut, is a text-font warning that says what is used
   instead. */
struct text_family *text_family_open(struct diags *diags);
void text_family_close(struct text_family *family);

/* The cut for a style's row, opened once; lent. Never NULL. */
struct text_cut;
struct text_cut *text_family_cut(struct text_family *family, const struct text_style_row *row);

/* The upright distances of the cut, both positive, in ems. */
void text_cut_extents(const struct text_cut *cut, double *ascent, double *descent);

/* Latin letters with and without accents, digits, signs, dashes, quotes, all on one line: what
   needs no analysis of script or direction. */
bool text_is_plain(const char *text, size_t length);

/* Sets UTF-8 text. False where the text is not plain or the font lacks a character of it. What the
   stretch points to is good until the next call for a cut of the family. */
bool text_cut_set(struct text_cut *cut, const char *text, size_t length,
                  struct text_stretch *stretch);

/* Where the mass of a stretch's ink is balanced, from its left end; false where it has none. The
   stretch is one that text_cut_set() made of this cut. */
bool text_cut_balance(struct text_cut *cut, const struct text_stretch *stretch, double *x);

#endif
