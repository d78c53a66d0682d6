#ifndef RATAMARK_COURSE_INDEX_PAGE_H
#define RATAMARK_COURSE_INDEX_PAGE_H
/*
 * The index: one HTML page for a course. Each lesson has a picture of its first line, its level,
 * its tempos, and links to its outputs. The page needs no script and no font, and nothing from
 * elsewhere except the pictures. The same lessons give the same bytes.
 */
#include "course/course_record.h"
#include "course/course_tree.h"
#include "draw/draw.h"

struct index_source {
    const struct course_tree *tree;
    struct course_record *record; /* each lesson's outputs */
    const char *out;              /* the folder of outputs */
    enum handed handed;           /* the player to print for */
    bool has_booklet;             /* whether to link to a booklet */
};

/* Writes the page. False if a lesson now has errors (`problem` names it), or if something could
   not be written (`problem` stays empty). */
bool index_write(const struct index_source *source, draw_write *write, void *closure,
                 struct buffer *problem);

#endif
