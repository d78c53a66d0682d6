#ifndef RATAMARK_DRAW_TEXT_SETTER_H
#define RATAMARK_DRAW_TEXT_SETTER_H
/*
 * Pango at the edge: text to shaped glyph items. Everything is shaped at one nominal size without
 * hinting, so that a cut of the family is looked up once for all its sizes, and results hold at
 * every resolution; who uses them scales by size / TEXT_NOMINAL.
 */
#include "diag/diag.h"
#include "model/metrics.h"

#include <pango/pangocairo.h>

/* The nominal em in points (device units). */
enum { TEXT_NOMINAL = 100 };

struct text_setter;

/* False, with an `unreadable` error in diags, on a system without any font. */
bool text_setter_possible(struct diags *diags);

/* A missing family or cut is a text-font warning, as is the first character that no installed font
   has. `diags` must outlive the setter. */
struct text_setter *text_setter_open(struct diags *diags);
void text_setter_close(struct text_setter *setter);

/* The upright distances of a style's face, in nominal points. */
void text_setter_extents(struct text_setter *setter, enum text_style style, double *ascent,
                         double *descent);

/* Takes one shaped stretch: `text` is where its characters begin. */
typedef void text_take(void *closure, const PangoAnalysis *analysis, const PangoGlyphString *glyphs,
                       const char *text, int length);

/* Shapes one line of text and hands over its stretches from left to right. */
void text_setter_line(struct text_setter *setter, enum text_style style, const char *text,
                      size_t length, text_take *take, void *closure);

/* Takes a line of a paragraph: its stretches come until the next `begin`. */
typedef void text_begin(void *closure, const char *text, size_t length);

/* Breaks a paragraph into lines of at most `width` nominal points. */
void text_setter_paragraph(struct text_setter *setter, enum text_style style, const char *text,
                           size_t length, double width, text_begin *begin, text_take *take,
                           void *closure);

#endif
