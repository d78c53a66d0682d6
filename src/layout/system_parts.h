#ifndef RATAMARK_LAYOUT_SYSTEM_PARTS_H
#define RATAMARK_LAYOUT_SYSTEM_PARTS_H
/*
 * The parts of a line of music, in the order in which system.c draws them: each keeps clear of the
 * ink of those before it. All draw the bars that are being set.
 */
#include "layout/layout.h"
#include "layout/staff.h"

struct music_line;

void beams_draw(struct layout *layout);
void notes_draw(struct layout *layout);
void ties_draw(struct layout *layout, const struct music_line *line);
/* Accents and the signs of hats. */
void above_draw(struct layout *layout);
void tuplets_draw(struct layout *layout);
/* A new tempo or swing, over the bar where it begins. */
void changes_draw(struct layout *layout);
/* Brackets of endings, and how often a repeat is played. */
void endings_draw(struct layout *layout);
/* What the band plays, small above the staff. */
void figures_draw(struct layout *layout);
/* Words over the counts of bars; below changes and endings. */
void words_draw(struct layout *layout);
/* Rehearsal letters, and words over whole bars; above all else. */
void signs_over_draw(struct layout *layout);
void dynamics_draw(struct layout *layout);
/* Letters and counts; notes their baselines in the system. */
void rows_draw(struct layout *layout, const struct music_line *line, struct page_system *system);
/* What the name of the feet's row takes at the left end of a line. */
sp feet_name_width(const struct layout *layout);

#endif
