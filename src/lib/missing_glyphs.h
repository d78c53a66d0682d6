#ifndef RATAMARK_LIB_MISSING_GLYPHS_H
#define RATAMARK_LIB_MISSING_GLYPHS_H
/* Warnings about characters that no installed font has, at their places in the lesson. */
#include "diag/diag.h"
#include "model/score.h"

/* Adds a `text-font` warning for each text of the lesson with some of these characters, at the
   first of them. If no text of the lesson has any (our own words do, or the course's), adds one
   warning without a place. */
void missing_glyphs_report(const struct score *score, const uint32_t *characters, size_t count,
                           struct diags *diags);

#endif
