#ifndef RATAMARK_LAYOUT_SHEET_H
#define RATAMARK_LAYOUT_SHEET_H
/* The paper: its size, and what frames every page. */
#include "layout/layout.h"

struct sheet {
    sp width, height, margin;
    sp text_left, text_right; /* of the text, or of the column of it that is being set */
    sp text_top, text_bottom;
};

/* Takes the size of the paper, with room for a running head where the lesson is a part. */
void sheet_set(struct layout *layout, const struct page_settings *page);
/* The page of the sheet that holds what the pen has drawn; the marks stay the pen's. */
struct page page_of_marks(const struct layout *layout, uint32_t number, uint32_t count);

/* The foot stands on the lower margin, under a rule. */
sp foot_baseline(const struct layout *layout);
/* In the page's own coordinates: page `number` of `count`, with a text left of that (NULL: none);
   and what stands over pages of a booklet, left and right (NULL: nothing). */
void foot_draw(struct layout *layout, const char *own, uint32_t number, uint32_t count);
void head_draw(struct layout *layout, const char *left, const char *right);

#endif
