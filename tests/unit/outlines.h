#ifndef RATAMARK_TESTS_OUTLINES_H
#define RATAMARK_TESTS_OUTLINES_H
/*
 * The ink of marks as it is drawn, for the audit: signs from the font itself by FreeType (not from
 * the slices that layout goes by), lines, beams, ties and rings from their geometry. Text is its
 * ink box.
 */
#include "model/page.h"

struct outlines;

/* The font of the signs; NULL where it cannot be opened. */
struct outlines *outlines_open(const char *font);
void outlines_close(struct outlines *outlines);

/* Whether the ink of two marks overlaps by more than `depth` both ways. `outlines` NULL: signs fill
   their boxes, as those of plain metrics do. */
bool outlines_touch(const struct outlines *outlines, const struct engraving_defaults *defaults,
                    const struct mark *a, const struct mark *b, sp depth);

/* The white along the line from a's ink to b's, to its right, at any height that both have ink at
   within `slack`; INT32_MAX where there is none. Negative where they overlap. */
sp outlines_gap(const struct outlines *outlines, const struct engraving_defaults *defaults,
                const struct mark *a, const struct mark *b, sp slack);

#endif
