#ifndef RATAMARK_LAYOUT_LAYOUT_H
#define RATAMARK_LAYOUT_LAYOUT_H
/*
 * From a score to pages of marks. Two steps, so that a long lesson needs little memory:
 *
 *     struct layout *layout = layout_new(score, &metrics, options, diags);
 *     for (uint32_t n = 1; n <= layout_page_count(layout); n++) {
 *         const struct page *page = layout_page(layout, n);   // valid until the next call
 *         ...
 *     }
 *     layout_free(layout);
 *
 * layout_new() measures, breaks lines and pages (all decisions); layout_page() writes the marks of
 * one page. Never touches a drawing library.
 */
#include "diag/diag.h"
#include "model/choice.h"
#include "model/page.h"
#include "model/score.h"

struct layout;

/* A lesson as a part of a booklet: its pages are counted on, and carry a running head. The texts
   outlive the layout. How pages break depends on none of this, but on whether there is a part. */
struct layout_part {
    uint32_t pages_before, page_count; /* the booklet's */
    const char *head;                  /* the booklet's title, NULL: none */
};

struct layout_options {
    struct exercise_choice exercises; /* to print */
    const struct layout_part *part;   /* NULL: the lesson stands by itself */
};

/* The caller frees it. `score` and `metrics` must outlive it. What the page can show only in part
   (a bar wider than a line) is a `not-printable` warning in diags. */
struct layout *layout_new(const struct score *score, const struct metrics *metrics,
                          struct layout_options options, struct diags *diags);
void layout_free(struct layout *layout);

uint32_t layout_page_count(const struct layout *layout);
/* Page `number` from 1. The layout owns it; the next call reuses its memory. */
const struct page *layout_page(struct layout *layout, uint32_t number);
/* The first line of music by itself, cut out of its page, with a little white around; NULL where no
   music is printed. The next call of layout_page() takes it back. */
const struct page *layout_first_line(struct layout *layout);
/* For outlines: the page on which an exercise's heading stands, 0 where it is not printed; `*y` its
   top in sp. */
uint32_t layout_exercise_page(const struct layout *layout, size_t exercise, sp *y);

/* A page as text, one mark a line, rounded to hundredths: for goldens and eyes. Label texts come
   from `label_text`. */
struct buffer;
void page_dump(const struct page *page, const char *(*label_text)(void *self, label_id label),
               void *self, struct buffer *out);
/* Of a page only what the breaking decided: how full it is, and its lines. page_dump() begins with
   it. */
void page_plan_dump(const struct page *page, struct buffer *out);

#endif
