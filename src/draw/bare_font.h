#ifndef RATAMARK_DRAW_BARE_FONT_H
#define RATAMARK_DRAW_BARE_FONT_H
/*
 * A TrueType font without its hints. Text is set and drawn without them (ink.c), and printers
 * ignore them, but each PDF would carry them for each of its fonts: programs as long as the
 * outlines of all letters that a lesson uses.
 *
 * HarfBuzz's subsetter (hb-subset 6.0) could do this too. It takes 1.3 ms for the first font and
 * 0.5 ms for each further one (Open Sans Bold); this takes 0.03 ms and 0.01 ms.
 */
#include "base/buffer.h"

#include <stdbool.h>

/* Writes to `bare` a font that has the same glyphs under the same numbers, with their outlines,
   widths, characters and names. False, and nothing written, unless the bytes are one plain TrueType
   font: a font with axes or other outlines, a file of several fonts and a broken file are refused.
 */
bool bare_font_write(const void *bytes, size_t length, struct buffer *bare);

#endif
