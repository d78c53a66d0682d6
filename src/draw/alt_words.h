#ifndef RATAMARK_DRAW_ALT_WORDS_H
#define RATAMARK_DRAW_ALT_WORDS_H
/* What a drawn page says to who does not see it: its exercises, each with a name and a reading. */
#include "base/arena.h"
#include "draw/draw.h"

/* An exercise on a page. */
struct page_part {
    uint32_t exercise; /* index in the score */
    bool begins;       /* its heading is on this page */
    struct box box;    /* its ink there */
};
struct page_parts {
    struct page_part *items;
    size_t count;
};

/* The exercises of the page in their order. */
struct page_parts words_parts(const struct page *page, struct arena *arena);

/* "Exercise 3: The first groove", with ", continued" where it begins elsewhere. */
const char *words_title(const struct drawing_words *words, const struct page_part *part,
                        struct arena *arena);
/* What is said of its music; all of it stands with the beginning, once. */
const char *words_music(const struct drawing_words *words, const struct page_part *part,
                        struct arena *arena);
/* The same, between its paragraphs and its ladder. */
const char *words_text(const struct drawing_words *words, const struct page_part *part,
                       struct arena *arena);
/* The document's title, with the page's number where there are several. NULL: neither. */
const char *words_page_title(const char *title, const struct page *page, struct arena *arena);

#endif
