#ifndef RATAMARK_LAYOUT_BOOK_H
#define RATAMARK_LAYOUT_BOOK_H
/*
 * The pages of a booklet before its lessons: the cover, then the contents.
 *
 *     struct book_layout *front = book_layout_new(&book, &metrics);
 *     for (uint32_t n = 1; n <= book_layout_page_count(front); n++) {
 *         const struct page *page = book_layout_page(front, n);   // valid until the next call
 *         ...
 *     }
 *     book_layout_free(front);
 *
 * How many pages there are does not depend on the page numbers in them. So they can be laid out
 * before those are known, and again afterwards.
 */
#include "model/lesson.h"
#include "model/page.h"

/* A line of the contents. */
struct book_entry {
    const char *title;
    const char *note; /* a lesson's level; NULL: none */
    uint32_t page;    /* from 1, counted from the first page after the contents */
    uint8_t depth;    /* how many courses it is in, not counting the booklet's own */
    bool heading;     /* a course; else a lesson */
};

/* Texts may be NULL. All must outlive the layout. */
struct book {
    const char *title, *subtitle, *author, *copyright, *date;
    struct page_words words;
    const struct page_settings *paper;
    const struct book_entry *entries;
    size_t entry_count;
    uint32_t page_count; /* of the lessons */
};

struct book_layout;

/* The caller frees it; book and metrics must outlive it. */
struct book_layout *book_layout_new(const struct book *book, const struct metrics *metrics);
void book_layout_free(struct book_layout *front);

/* Pages before the first lesson's. */
uint32_t book_layout_page_count(const struct book_layout *front);
/* Page `number` from 1; the next call reuses its memory. */
const struct page *book_layout_page(struct book_layout *front, uint32_t number);

#endif
