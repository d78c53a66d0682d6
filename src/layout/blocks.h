#ifndef RATAMARK_LAYOUT_BLOCKS_H
#define RATAMARK_LAYOUT_BLOCKS_H
/*
 * A lesson is a row of blocks: what page breaking works on. Each is measured by drawing it once, a
 * system with y 0 on its top staff line, any other with y 0 on its first baseline. The page then
 * moves it into its place.
 */
#include "base/vector.h"
#include "layout/layout.h"

enum block_kind {
    BLOCK_TITLE,
    BLOCK_LABEL, /* one line of a paragraph */
    BLOCK_KEY,
    BLOCK_PLAN,
    BLOCK_HEADING,
    BLOCK_FORM,
    BLOCK_SYSTEM,
    BLOCK_LADDER,
    BLOCK_DUO /* two exercises side by side */
};

/* What it costs to begin a page with a block: pages.c has the table. */
enum block_break {
    BREAK_FREE,
    BREAK_IN_EXERCISE,
    BREAK_LONE_FIRST, /* leaves an exercise's first line alone with its heading */
    BREAK_LONE_LAST,  /* an exercise's last line, or the lesson's ladder, alone on a new page */
    BREAK_NEVER
};

/* What a block drew when it was measured, y from its origin. */
struct kept {
    struct mark *marks;
    size_t mark_count;
    struct page_system system; /* BLOCK_SYSTEM */
};

struct block {
    struct kept *kept; /* NULL: memory for it ran out, it is drawn again */
    uint8_t kind;
    uint8_t before;    /* enum block_break: a page may begin with it */
    uint8_t role;      /* BLOCK_LABEL */
    bool indented;     /* BLOCK_LABEL: begins where an exercise's title does */
    bool half;         /* half as wide as the text: set at its left, moved when it is placed */
    uint32_t exercise; /* OWNER_NONE: the lesson's */
    uint32_t item;     /* label; number of the line, of the duo; the first item of a row */
    sp top, bottom;    /* ink from its origin, top negative */
    sp gap;            /* white before it, unless it begins a page */
    sp growth, shrink; /* most that left-over height adds to the gap, that a full page takes */
    sp measure;        /* BLOCK_LABEL: the width of the longest line of its paragraph */
    sp plays_rise;     /* BLOCK_SYSTEM: how far "play n times" goes up to a line of text */
};

struct block_row {
    struct block *items;
    size_t count, room;
};

/* A block of a duo, and where its origin stands from the duo's. */
struct part {
    struct block block;
    sp x, y;
    sp drops[PAGE_ROWS]; /* how far its rows go down to those beside them */
};
struct duo {
    struct part *parts; /* all of the left exercise, then all of the right */
    size_t count;
};

/* The width of the text, or of half of it. */
sp column_width(const struct layout *layout, bool half);
/* The gap before a block, and how it may change. */
void gap_set(const struct layout *layout, struct block *block, int gap_um, int growth_um);
/* Adds a block to a row and measures it. Valid until the next. */
struct block *block_add(struct layout *layout, struct block_row *row, struct block block);
/* A block a line. */
void paragraph_add(struct layout *layout, struct block_row *row, struct block block,
                   enum text_style style, const char *text, sp first_gap);
/* Where the system that block_add() measured last says how often it is played. */
struct plays_place {
    sp baseline, left; /* of the first, if it says so more than once */
    sp room;           /* how far they may rise: less than 0 if it says nothing */
};
struct plays_place plays_find(const struct layout *layout);
/* What stands between an exercise's heading and its music, and after it. `block` has the exercise,
   its width and where pages may break. */
void exercise_texts_add(struct layout *layout, struct block_row *row, struct block block);
void ladder_add(struct layout *layout, struct block_row *row, struct block block);

/* Draws a block where it stands when it is measured. BLOCK_DUO: nothing, its parts are blocks. */
void block_draw(struct layout *layout, const struct block *block, struct page_system *system);

/* lesson_blocks.c: all blocks of a lesson, in their order. */
void blocks_make(struct layout *layout, struct layout_options options);

/* beside.c */
/* Offers page breaking a choice, if two exercises may stand side by side that would otherwise be
   printed one below the other, as blocks [first, end). */
void beside_offer(struct layout *layout, uint32_t left, uint32_t right, uint32_t first,
                  uint32_t end);

#endif
