#ifndef RATAMARK_DRAW_TEXT_SHAPES_H
#define RATAMARK_DRAW_TEXT_SHAPES_H
/*
 * Short texts that were shaped before. The next lesson of a course repeats what a lesson has once:
 * names, numbers, letters, headings. How a text is shaped depends on font and text alone, so it is
 * kept from lesson to lesson, unlike labels, whose numbers belong to one lesson. A page of a course
 * takes 45 us less for it (tests/bench/README.md).
 */
#include "draw/text_stretch.h"

struct text_shape {
    const void *font; /* which font this came from; compared, never dereferenced */
    struct text_stretch stretch;
    double balance; /* see text_font_balance(); NAN until it is asked for */
};

struct text_shapes;

struct text_shapes *text_shapes_new(void);
void text_shapes_free(struct text_shapes *shapes);

/* The text's shape in the font, NULL where it is not kept; lent until the next text_shapes_keep().
 */
struct text_shape *text_shapes_find(const struct text_shapes *shapes, const void *font,
                                    const char *text, size_t length);
/* Copies the stretch if its text is short. When there are many, all older ones are forgotten. */
void text_shapes_keep(struct text_shapes *shapes, const void *font,
                      const struct text_stretch *stretch);

#endif
