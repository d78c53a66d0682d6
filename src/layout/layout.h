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
 * layout_new() measures everything and breaks lines and pages: all decisions. layout_page() writes
 * the marks of one page. Neither knows a drawing library.
 *
 * The way through this folder, from the top:
 *
 *     layout.c, first_line.c      the two steps; one line as a picture
 *     lesson_blocks.c, beside.c   which blocks a lesson has; which exercises fit side by side
 *     blocks.c                    a block, measured by drawing it
 *     pages.c, casting.c            where pages break; how the height that is left is shared
 *     book.c                      a booklet's cover and contents
 *
 *     What the blocks show:       title.c, key.c, kit_plan.c, heading.c, ladder_block.c,
 *                                 tempo_marks.c and equation.c, and sheet.c around them
 *
 *     breaking.c, lines.c         the lines of an exercise; where they break at least cost
 *     staff.c, small.c            on one line or five; smaller for bars that are too wide
 *     bars.c, columns.c           bars, set once, alike in rhythm; their instants in time order
 *     chord.c, rods.c, springs.c  heads of a stem; how near columns may stand; how far they do
 *
 *     system.c                    one line of music: its places, then part by part bar_lines.c,
 *                                 meter_signs.c, beams.c and wedges.c, notes.c, graces.c, ties.c,
 *                                 above.c, tuplets.c, endings.c, dynamics.c, rows.c
 *
 *     Tools:                      pen.c, skyline.c, raised.c, signs.c, text.c;
 *                                 house.h has the distances
 */
#include "diag/diag.h"
#include "model/choice.h"
#include "model/page.h"
#include "model/score.h"

struct layout;

/* A lesson as a part of a booklet: its page numbers go on from the part before, and its pages carry
   a running head. The texts must outlive the layout. Where pages break depends only on whether
   there is a part, not on what it says. */
struct layout_part {
    uint32_t pages_before, page_count; /* the booklet's */
    const char *head;                  /* the booklet's title, NULL: none */
};

struct layout_options {
    struct exercise_choice exercises; /* to print */
    const struct layout_part *part;   /* NULL: the lesson is a sheet by itself */
    uint32_t screen_um; /* lines of this many micrometres for a screen, whatever the paper and the
                           bars of a line, and no exercises side by side; 0: for paper */
};

/* The caller frees it. `score` and `metrics` must outlive it. What a page cannot show well (a bar
   wider than a line) becomes a `not-printable` warning in diags. */
struct layout *layout_new(const struct score *score, const struct metrics *metrics,
                          struct layout_options options, struct diags *diags);
void layout_free(struct layout *layout);

uint32_t layout_page_count(const struct layout *layout);
/* Page `number` from 1. The layout owns it; the next call reuses its memory. */
const struct page *layout_page(struct layout *layout, uint32_t number);
/* The first line of music by itself, cut out of its page, with a little white around it; NULL if no
   music is printed. Valid until the next call of layout_page(). */
const struct page *layout_first_line(struct layout *layout);
/* For outlines: the page of an exercise's heading, 0 if it is not printed; `*y` is its top. */
uint32_t layout_exercise_page(const struct layout *layout, size_t exercise, sp *y);

/* A page as text, one mark a line (dump.c says how): for tests and for eyes. `label_text` gives the
   texts of labels. */
struct buffer;
void page_dump(const struct page *page, const char *(*label_text)(void *self, label_id label),
               void *self, struct buffer *out);
/* Of a page only what the breaking decided, how full it is and its lines: how page_dump() begins.
 */
void page_plan_dump(const struct page *page, struct buffer *out);

#endif
