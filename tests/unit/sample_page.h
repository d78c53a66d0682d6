#ifndef RATAMARK_TESTS_SAMPLE_PAGE_H
#define RATAMARK_TESTS_SAMPLE_PAGE_H
/* A page made by hand with every shape of mark, for tests that draw: two systems of eight beamed
   notes, their sticking and count rows, a heading and a title. */
#include "base/arena.h"
#include "model/page.h"

/* The rows as a reader of the text must find them, system by system. */
#define SAMPLE_STICKING_1 "R L R R L R L L"
#define SAMPLE_STICKING_2 "L R L L R L R R"
#define SAMPLE_COUNTS "1 & 2 & 3 & 4 &"
#define SAMPLE_TITLE "Six in a Five Suit"
#define SAMPLE_PARAGRAPH "Office floor, \303\251tude f\303\274r zwei H\303\244nde"

/* Lives in the arena. A4 at the metrics' staff space. */
struct page *sample_page(struct arena *arena, const struct metrics *metrics);

#endif
