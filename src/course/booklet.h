#ifndef RATAMARK_COURSE_BOOKLET_H
#define RATAMARK_COURSE_BOOKLET_H
/*
 * All lessons of a course in one PDF: cover, contents, the lessons in their order. Each lesson is
 * read twice, for its number of pages and to be drawn, and held no longer: memory stays that of the
 * largest lesson, but for a line of the contents and of the outline each.
 */
#include "course/course_tree.h"
#include "draw/draw.h"

struct booklet {
    const struct course_tree *tree;
    struct faces *faces; /* open; made new for each lesson */
    const char *date;    /* of the document; NULL: the course's own, or none */
};

/* Draws it. False, and why in `problem`, where a lesson has errors or changed meanwhile; with an
   empty `problem` where not all could be drawn or written. */
bool booklet_draw(const struct booklet *booklet, draw_write *write, void *closure,
                  struct buffer *problem);

#endif
