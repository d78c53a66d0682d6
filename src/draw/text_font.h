#ifndef RATAMARK_DRAW_TEXT_FONT_H
#define RATAMARK_DRAW_TEXT_FONT_H
/*
 * The text family: its installed fonts, one for each weight, slant and width that the styles ask
 * for, and plain text set in them. Most text on a page is plain: letters, numbers and syllables in
 * the Latin script, left to right, all in one font. HarfBuzz alone sets it. Pango would start
 * threads and sort all fonts of the machine for each of ours; it sets the rest (text_setter.h).
 */
#include "diag/diag.h"
#include "draw/text_stretch.h"
#include "model/metrics.h"

#define TEXT_FAMILY "Open Sans"

/* False on a system without any font, with an `unreadable` error in diags. */
bool text_family_possible(struct diags *diags);

struct text_family;

/* Where the family is not installed, a `text-font` warning names what is used instead. */
struct text_family *text_family_open(struct diags *diags);
void text_family_close(struct text_family *family);

/* The font for a style's row, opened once; lent. Never NULL. */
struct text_font;
struct text_font *text_family_font(struct text_family *family, const struct text_style_row *row);

/* How far the font reaches above and below the baseline, both positive, in ems. */
void text_font_extents(const struct text_font *font, double *ascent, double *descent);

/* True for one line of Latin letters with and without accents, digits, signs, dashes and quotes:
   what needs no analysis of script or direction. */
bool text_is_plain(const char *text, size_t length);

/* Sets UTF-8 text. False where the text is not plain or the font lacks one of its characters. What
   the stretch points to is good until the next call for a font of the family. */
bool text_font_set(struct text_font *font, const char *text, size_t length,
                   struct text_stretch *stretch);

/* Where the mass of the ink is balanced, from the left end of a stretch that text_font_set() made
   of this font; INFINITY where it has no ink. */
double text_font_balance(struct text_font *font, const struct text_stretch *stretch);

#endif
