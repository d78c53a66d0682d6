#ifndef RATAMARK_DRAW_ALT_WORDS_H
#define RATAMARK_DRAW_ALT_WORDS_H
/* What a drawn page says to those who do not see it: its exercises, each with a name and a reading.
 */
#include "base/arena.h"
#include "draw/draw.h"

/* An exercise on a page. */
struct page_part {
    uint32_t exercise; /* index in the score */
    bool begins;       /* its heading is on this page */
    struct box box;    /* of its ink there */
};
struct page_parts {
    struct page_part *items;
    size_t count;
};

/* The exercises of the page in their order. */
struct page_parts words_parts(const struct page *page, struct arena *arena);

/* A part of what the drawing was given to say. */
const char *words_say(const struct drawing_words *words, enum words_part part, uint32_t exercise,
                      struct arena *arena);

/* The language of readings, where it is not that of the document: they are in English. NULL where
   it is the same. */
const char *words_language(const struct drawing_words *words);

/* "Exercise 3: The first groove", with ", continued" where it begins elsewhere. */
const char *words_title(const struct drawing_words *words, const struct page_part *part,
                        struct arena *arena);
/* The exercise's paragraphs, music and ladder. They are given once, where it begins. */
const char *words_text(const struct drawing_words *words, const struct page_part *part,
                       struct arena *arena);
/* The document's title, with the page's number where there are several pages. NULL: neither. */
const char *words_page_title(const char *title, const struct page *page, struct arena *arena);

#endif
