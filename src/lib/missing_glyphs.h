#ifndef RATAMARK_LIB_MISSING_GLYPHS_H
#define RATAMARK_LIB_MISSING_GLYPHS_H
/* Characters that no installed font has, told where the lesson writes them. */
#include "diag/diag.h"
#include "model/score.h"

/* A `text-font` warning for each text of the lesson that has some of these characters, at the first
   of them; one without a place where no text has (they are words of ours, or of a system). */
void missing_glyphs_report(const struct score *score, const uint32_t *characters, size_t count,
                           struct diags *diags);

#endif
