#ifndef RATAMARK_DRAW_TAGS_H
#define RATAMARK_DRAW_TAGS_H
/*
 * The structure of a tagged PDF (ISO 32000-1, 14.8), as the marks of a page come by in their order:
 * the title is H1, an exercise's heading H2, paragraphs P, and the systems of an exercise are a
 * Figure, whose reading may stand in place of the picture. Rules, rings, running heads and the
 * page's foot stand outside of it.
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
    VECTOR(const char *) figures; /* what is said of each, in the order of the file */
    VECTOR(uint32_t) told;        /* exercises that a Figure tells already */
    uint32_t headed;              /* exercise whose heading came last */
    bool begun;                   /* the document */

    /* Where the page is. */
    cairo_t *cairo;
    enum tag open;
    bool has_text;    /* the open element; set by whoever shows the text */
    struct mark last; /* in the open element */
};

/* For all pages of a drawing. The texts of `words` are kept on the arena. */
void tags_init(struct tags *tags, struct arena *arena, const struct drawing_words *words,
               const struct text_labels *labels);
/* Exercises count from 0 again. */
void tags_next_lesson(struct tags *tags);
/* A page begins. */
void tags_begin_page(struct tags *tags, cairo_t *cairo);
/* After the last page. */
void tags_end_document(struct tags *tags, cairo_t *cairo);
/* Whether a text outside the systems has to be told apart from what came before it: that is shown
   first. */
bool tags_part(const struct tags *tags, const struct mark *mark);
/* Into that text's element: the one that is open, where it goes on. */
void tags_move(struct tags *tags, const struct mark *mark);
/* Into the Figure of the exercise: the one that is open, where it is the same exercise's. */
void tags_figure(struct tags *tags, uint32_t exercise);
/* Out of any. */
void tags_end(struct tags *tags);

#endif
