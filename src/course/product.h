#ifndef RATAMARK_COURSE_PRODUCT_H
#define RATAMARK_COURSE_PRODUCT_H
/* What can be made of a lesson of a course: a row for each word that `produce` knows, but for those
   that stand for something made of the whole course (course_whole.h). */
#include "lib/pipeline.h"

/* Makes one file: page `page` from 1 or, where it is not by page, the whole. The lesson is laid
   out. False where it could not be written or, with `problem` saying why, not be made. */
typedef bool product_make(struct pipeline *work, uint32_t page, draw_write *write, void *closure,
                          struct buffer *problem);

struct product {
    const char *word; /* in a course file */
    const char *ending;
    bool by_page; /* a file a page: numbered where there are several */
    product_make *make;
    bool audio; /* made with the sound font of the machine */
};

/* NULL: no such word. */
const struct product *product_find(const char *word);
/* The picture of a lesson's first line, for the index. */
extern const struct product product_picture;

/* Files that a product makes of a lesson of so many pages. */
size_t product_files(const struct product *product, uint32_t pages);

/* Whether another lesson could have a file of this name, too: page 2 of "fill" and a lesson that is
   called "fill-2"; the picture of "fill" and a lesson that is called "fill.line". */
bool product_may_clash(const char *name);

/* The name of file `number` from 0 of so many, as engrave would name it: "STEM.pdf", "STEM-2.svg".
 */
char *product_name(const struct product *product, const char *stem, size_t number, size_t files,
                   struct arena *arena);

#endif
