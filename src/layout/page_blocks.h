#ifndef RATAMARK_LAYOUT_PAGE_BLOCKS_H
#define RATAMARK_LAYOUT_PAGE_BLOCKS_H
/*
 * What the blocks of a page show, other than music. Each is drawn with y 0 on its first baseline,
 * as wide as the sheet says.
 */
#include "layout/sheet.h"

bool title_shown(const struct layout *layout);
void title_draw(struct layout *layout);
void title_warn_cut(struct layout *layout);

/* The drum key, row by row: from an item on; returns the first of the next row, SIZE_MAX after the
   last. `key_lead`: from the baseline of a row to the next one's. */
bool key_shown(const struct layout *layout);
sp key_lead(const struct layout *layout);
size_t key_draw(struct layout *layout, size_t first);

/* The kit from above, its top at the height of its title. */
void kit_plan_draw(struct layout *layout);

void heading_draw(struct layout *layout, uint32_t index);
void heading_warn_cut(struct layout *layout, uint32_t index);
/* Where titles of exercises begin, and texts below them: beside the ring. */
sp title_left(const struct layout *layout);
/* Whether the exercise's text goes in the place of its title; if not it follows as paragraphs. */
bool heading_takes_text(const struct layout *layout, uint32_t exercise);
/* The lines that its title takes, and how far letters may reach below the first one's baseline. */
size_t heading_lines(const struct layout *layout, uint32_t index);
sp heading_bottom(const struct layout *layout, uint32_t index);

/* The practice form of a sequence, row by row as the key, from a step on. */
sp form_lead(const struct layout *layout);
size_t form_draw(struct layout *layout, uint32_t index, size_t first);

/* exercise OWNER_NONE: the lesson's own ladder. */
void ladder_draw(struct layout *layout, uint32_t exercise);

/* The tempo of an exercise: swing, the beat as a note, and its beats a minute. Its right end is at
   x, on the baseline. */
/* Whether all exercises that are printed have one tempo, and keep it. */
bool tempo_is_shared(const struct layout *layout);
sp tempo_width(const struct layout *layout, const struct score_exercise *exercise);
void tempo_draw(struct layout *layout, const struct score_exercise *exercise, sp x, sp y);

#endif
