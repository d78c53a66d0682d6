#ifndef RATAMARK_COURSE_INDEX_PAGE_H
#define RATAMARK_COURSE_INDEX_PAGE_H
/*
 * One page of HTML for a whole course: every lesson with its first line as a picture, its level,
 * its tempi, and links to what was made of it. By itself: no script, no font, nothing from
 * elsewhere but the pictures. The same lessons give the same bytes.
 */
#include "course/course_record.h"
#include "course/course_tree.h"
#include "draw/draw.h"

struct index_source {
    const struct course_tree *tree;
    struct course_record *record; /* what was made of each lesson */
    const char *out;              /* the folder of what was made */
    bool has_booklet;             /* it has a booklet, too */
};

/* Writes it. False, and why in `problem`, where a lesson has errors by now; with an empty `problem`
   where not all could be written. */
bool index_write(const struct index_source *source, draw_write *write, void *closure,
                 struct buffer *problem);

#endif
