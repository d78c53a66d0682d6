#ifndef RATAMARK_DRAW_TAGS_H
#define RATAMARK_DRAW_TAGS_H
/*
 * The structure of a tagged PDF (ISO 32000-1, 14.8). It follows the marks of a page in their order:
 * the title is H1, the heading of an exercise H2, a paragraph P. The systems of an exercise are a
 * Figure, and its reading replaces the picture. Rules, rings, running heads and the foot
 * of the page are not part of the structure.
 *
 * Cairo 1.16 writes structure, but neither a Figure's text nor the language: pdf_end.h adds them.
 */
#include "base/vector.h"
#include "draw/draw.h"
#include "draw/text_labels.h"

#include <cairo.h>

enum tag { TAG_NONE, TAG_H1, TAG_H2, TAG_P, TAG_FIGURE };

struct tags {
    struct arena *arena; /* the drawing's */
    const struct drawing_words *words;
    const struct text_labels *labels;
    VECTOR(const char *) figures; /* the reading of each, in order */
    VECTOR(uint32_t) described;   /* exercises whose reading is in a Figure */
    uint32_t headed;              /* the exercise whose heading came last */
    bool begun;                   /* the document is open */

    /* On the present page. */
    cairo_t *cairo;
    enum tag open;
    bool has_text;    /* the open element; set by the code that shows the text */
    struct mark last; /* the last one in the open element */
};

/* For all pages of a drawing. Copies the texts of `words` to the arena. */
void tags_init(struct tags *tags, struct arena *arena, const struct drawing_words *words,
               const struct text_labels *labels);
/* Exercises count from 0 again. */
void tags_next_lesson(struct tags *tags);
/* Call it before each page, */
void tags_begin_page(struct tags *tags, cairo_t *cairo);
/* ... and this after the last one. */
void tags_end_document(struct tags *tags, cairo_t *cairo);
/* True if the text before this mark, which is outside the systems, has to be shown first. */
bool tags_part(const struct tags *tags, const struct mark *mark);
/* Opens the element of that mark, unless it goes on in the one that is open. */
void tags_move(struct tags *tags, const struct mark *mark);
/* Opens the Figure of the exercise, unless it is open already. */
void tags_figure(struct tags *tags, uint32_t exercise);
/* Closes the open element. */
void tags_end(struct tags *tags);

#endif
