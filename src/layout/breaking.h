#ifndef RATAMARK_LAYOUT_BREAKING_H
#define RATAMARK_LAYOUT_BREAKING_H
/* An exercise into lines. */
#include "layout/layout.h"

/* What an exercise would take on one line; more than any line has where it has more than a few
   bars. */
struct one_line {
    sp rigid, natural, least;
};

/* Adds the exercise's lines to the layout's, and makes its staff smaller where a bar is too wide
   for a line. */
void lines_of_exercise(struct layout *layout, uint32_t exercise);

#endif
