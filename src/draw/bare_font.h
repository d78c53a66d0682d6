#ifndef RATAMARK_DRAW_BARE_FONT_H
#define RATAMARK_DRAW_BARE_FONT_H
/*
 * A TrueType font without its hints. We set and draw text without them (ink.c), so do printers, and
 * a PDF would carry them in each of its cuts: programs as long as the outlines of a lesson's
 * letters, of which every lesson of a course would bring its own copy.
 */
#include "base/buffer.h"

#include <stdbool.h>

/* Writes to `bare` a font with the same glyphs under the same numbers, with their outlines, widths,
   characters and names. False, with nothing written, where the bytes are anything but one plain
   TrueType font: one with axes, other outlines, several in one file, or a broken one. */
bool bare_font_write(const void *bytes, size_t length, struct buffer *bare);

#endif
