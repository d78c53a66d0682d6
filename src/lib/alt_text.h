#ifndef RATAMARK_LIB_ALT_TEXT_H
#define RATAMARK_LIB_ALT_TEXT_H
/* The spoken text of a score, part by part, for a drawing that puts it beside the figures. */
#include "draw/draw.h"
#include "model/score.h"

/* The score may be set later, and again for each lesson of a booklet. The language is that of the
   score that is set now. */
struct drawing_words alt_text_words(const struct score *const *score);

#endif
