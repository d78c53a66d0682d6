#ifndef RATAMARK_LAYOUT_TEXT_H
#define RATAMARK_LAYOUT_TEXT_H
/* Text outside the staff. */
#include "layout/layout.h"

sp text_em(const struct layout *layout, enum text_style style);
/* From baseline to baseline; `lead` is per thousand of the em. */
sp text_lead(const struct layout *layout, enum text_style style, int lead);
/* Valid until the next text is measured. */
const struct label_metrics *text_metrics(const struct layout *layout, enum text_style style,
                                         const char *text);
sp text_advance(const struct layout *layout, enum text_style style, const char *text);
struct box text_ink(const struct layout *layout, enum text_style style, const char *text);

/* Draws flush left; returns the advance. */
sp text_left(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
             sp x, sp y);
/* Its ink ends at x. */
void text_right(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                sp x, sp y);
/* The middle of its ink is at x. */
void text_centred(struct layout *layout, enum mark_role role, enum text_style style,
                  const char *text, sp x, sp y);

/* A text on one line no wider than `width`: cut at a word, with an ellipsis, if it is too long. */
struct text_fit {
    enum text_style style;
    label_id label;
    bool cut;
    sp before, advance, ink; /* up to the ellipsis; of all; to the right end of its ink */
};
struct text_fit text_fit(const struct layout *layout, enum text_style style, const char *text,
                         sp width);
void text_fit_draw(struct layout *layout, enum mark_role role, const struct text_fit *fit, sp x,
                   sp y);
/* The same at once, in the foot's size. */
void text_cut_draw(struct layout *layout, enum mark_role role, const char *text, struct point at,
                   sp width);

/* How many lines a paragraph takes; they are valid until the next call. */
size_t text_wrap(const struct layout *layout, enum text_style style, const char *text, sp width,
                 const label_id **lines);
/* Draws the lines from (x, y) on, each `lead` lower; returns the last baseline. What takes more
   than `most` lines is cut there, and ends in an ellipsis. */
sp text_wrapped(struct layout *layout, enum mark_role role, enum text_style style, const char *text,
                struct point at, sp width, sp lead, size_t most);
/* The least width up to `width` at which a text takes no more lines: they are then about equally
   long, and no word stands alone. */
sp text_even_width(const struct layout *layout, enum text_style style, const char *text, sp width);
/* Warns if text_wrapped() would cut the text at HOUSE_TEXT_LINES. `what` names the text, `at` is
   its place in the lesson; text may be NULL. */
void text_warn_cut(struct layout *layout, struct place at, const char *what, enum text_style style,
                   const char *text, sp width);

/* A number in its double ring around a point; 1000 is the scale of a heading's. */
void ring_draw(struct layout *layout, uint32_t number, struct point centre, int scale);

#endif
