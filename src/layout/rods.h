#ifndef RATAMARK_LAYOUT_RODS_H
#define RATAMARK_LAYOUT_RODS_H
/* The least lengths of a bar's springs, and its lead, from the ink of its columns. */
#include "layout/work.h"

void rods_set(struct layout *layout, const struct staff *staff, struct set_bar *set);
enum text_style count_style(const struct staff *staff, const struct count *count);
/* "R", "L" or "B". */
static inline const char *letter_text(uint8_t letter)
{
    return letter == 'R' ? "R" : letter == 'L' ? "L" : "B";
}

#endif
