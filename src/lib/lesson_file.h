#ifndef RATAMARK_LIB_LESSON_FILE_H
#define RATAMARK_LIB_LESSON_FILE_H
/* Makes any file that comes from one lesson: each row of LESSON_FORMATS has its maker here. */
#include "lib/pipeline.h"

/* Writes a file of a lesson: page `page` from 1 where each page is a file of its own, otherwise
   everything. Formats made from pages need STAGE_LAYOUT, the others STAGE_CHECK. False if it cannot
   be made (`problem` says why) or cannot be written (`problem` stays empty; errno). */
bool lesson_file_write(struct pipeline *work, enum format format, uint32_t page, draw_write *write,
                       void *closure, struct buffer *problem);

#endif
