#ifndef RATAMARK_COURSE_BOOKLET_H
#define RATAMARK_COURSE_BOOKLET_H
/*
 * All lessons of a course in one PDF: cover, contents, then the lessons in order. Each lesson is
 * read twice, to count its pages and to draw it, and freed each time. So memory only grows by a
 * line in the contents and in the outline for each lesson. All pages have the size that the
 * course file of the folder gives: a lesson with another size is set again.
 */
#include "course/course_tree.h"
#include "draw/draw.h"

struct booklet {
    const struct course_tree *tree;
    struct faces *faces; /* open; renewed for each lesson */
    const char *date;    /* of the document; NULL: that of the course, or none */
    enum handed handed;  /* the player to print for */
    struct diags *diags; /* gets what the drawing finds, and the layout of lessons set again */
    size_t *set_again;   /* gets the number of lessons with another size of page */
};

/* Draws the booklet. False if a lesson has errors or changed during the run (`problem` names it),
   or if something could not be drawn or written (`problem` stays empty). */
bool booklet_draw(const struct booklet *booklet, draw_write *write, void *closure,
                  struct buffer *problem);

#endif
