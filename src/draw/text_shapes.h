#ifndef RATAMARK_DRAW_TEXT_SHAPES_H
#define RATAMARK_DRAW_TEXT_SHAPES_H
/*
 * Short texts as they were shaped. What a lesson has once, its name, numbers, letters and headings,
 * the next lesson of a course has again: shaping is a matter of font and text alone, and is kept
 * from lesson to lesson, unlike labels, whose numbers are one page's.
 */
#include "draw/text_stretch.h"

enum text_balance { BALANCE_UNKNOWN, BALANCE_NONE, BALANCE_FOUND };

struct text_shape {
    const char *text;
    size_t length;
    const void *font; /* of whom it is; compared, not looked at */
    const struct text_glyph *glyphs;
    size_t count;
    double advance;
    struct text_ink ink;
    enum text_balance balance; /* whether the next is known */
    double middle;             /* ems: see text_font_balance() */
};

struct text_shapes;

struct text_shapes *text_shapes_new(void);
void text_shapes_free(struct text_shapes *shapes);

/* The text's shape in the font, NULL where it is not kept; lent until the next text_shapes_keep().
 */
struct text_shape *text_shapes_find(const struct text_shapes *shapes, const void *font,
                                    const char *text, size_t length);
/* Copies the shape, where its text is short: of many, all older ones are forgotten at once. */
void text_shapes_keep(struct text_shapes *shapes, const struct text_shape *shape);

#endif
