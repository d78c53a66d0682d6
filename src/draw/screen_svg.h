#ifndef RATAMARK_DRAW_SCREEN_SVG_H
#define RATAMARK_DRAW_SCREEN_SVG_H
/*
 * Lines of music for a page on a screen: small SVG in which a script finds each stroke. Signs and
 * texts are outlines that all lines share, so a line costs a tenth of what cairo's SVG of it does.
 * Whole pages can be drawn so, too. Values stand without quotes where HTML allows it.
 *
 *     struct screen_svg *svg = screen_svg_open(faces, "");
 *     screen_svg_line(svg, page, system, &lines);      ... any number of times
 *     screen_svg_shapes(svg, &shapes);                 once, to stand before the lines
 *     screen_svg_close(svg);
 *
 * Each struck note is a group with its head, letter and syllable:
 *
 *     <g data-of=3.0.5><use href=#s4 ... />...</g>  bar 3, line of the hands, leaf 5
 *
 * and each sign for a whole bar one with data-of=3. The unit is a hundredth of a staff space.
 */
#include "base/buffer.h"
#include "draw/draw.h"

struct screen_svg;

/* The names of shapes begin with `name`, so that two of these can stand in one document. */
struct screen_svg *screen_svg_open(const struct faces *faces, const char *name);
void screen_svg_close(struct screen_svg *svg);
void screen_svg_line(struct screen_svg *svg, const struct page *page,
                     const struct page_system *system, struct buffer *out);
/* The page as it is printed, without groups. */
void screen_svg_page(struct screen_svg *svg, const struct page *page, struct buffer *out);
void screen_svg_shapes(const struct screen_svg *svg, struct buffer *out);

#endif
