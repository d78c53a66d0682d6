#ifndef RATAMARK_LAYOUT_LAYOUT_STATE_H
#define RATAMARK_LAYOUT_LAYOUT_STATE_H
/* The layout itself, as all files of this folder share it. */
#include "layout/bars.h"
#include "layout/blocks.h"
#include "layout/geometry.h"
#include "layout/house.h"
#include "layout/labels.h"
#include "layout/over.h"
#include "layout/pages.h"
#include "layout/pen.h"
#include "layout/raised.h"
#include "layout/sheet.h"
#include "layout/system.h"
#include "layout/work.h"

struct layout {
    /* given */
    const struct score *score;
    const struct page_words *words; /* the page's own, in its language */
    struct exercise_choice exercises;
    const struct metrics *metrics;
    const struct engraving_defaults *defaults;
    const struct layout_part *part; /* NULL: not a part of a booklet */
    uint32_t screen_um;             /* as in struct layout_options */
    struct diags *diags;

    struct arena *arena; /* of what is kept */
    size_t kept_marks;
    struct sheet sheet;
    struct staff *staves; /* by exercise of the score, as the next two */
    struct one_line *one_line;
    struct heading_place *headings;
    bool tempo_shared; /* by all exercises that are printed */

    /* what is being drawn */
    struct pen pen;
    struct skyline skyline;
    struct staff *staff; /* of the exercise that is being set */
    struct work work;
    struct rhythms rhythms;
    uint32_t stored_exercise; /* whose bars and rhythms these are; NONE: of none yet */
    struct raised_row raised;
    struct over_row over;
    VECTOR(struct page_column) page_columns; /* of the whole page */

    /* what pages are made of */
    VECTOR(struct music_line) lines;
    struct block_row blocks;
    struct page_system measured; /* the system that block_add() measured last */
    size_t next_item;            /* ... and where the row of a key or form after it begins */
    VECTOR(struct choice) choices;
    VECTOR(struct duo) duos;

    /* the pages */
    const struct block **placed; /* the blocks of all pages */
    VECTOR(struct cast_page) pages;
    VECTOR(struct page_system) systems; /* of the page being written, as the page itself */
    struct page page;
};

static inline struct box glyph_ink(const struct layout *layout, enum glyph glyph)
{
    return layout->metrics->glyphs[glyph].ink;
}
/* Micrometres on paper as sp. */
static inline sp paper(const struct layout *layout, int micrometres)
{
    return (sp)(micrometres / layout->metrics->space_mm + 0.5);
}
/* The scale of a sign in text: as large as on the usual staff, even if this one is larger or
   smaller. */
static inline int paper_scale(const struct layout *layout, int scale)
{
    return (int)(scale * (HOUSE_STAFF_UM / 4000.0) / layout->metrics->space_mm + 0.5);
}
/* The room of a line of text or music. */
static inline sp line_width(const struct layout *layout)
{
    return layout->sheet.text_right - layout->sheet.text_left;
}

/* Owners of marks: nothing, an exercise, a bar, a leaf by its note's number in the work. */
static const struct mark_owner no_owner = {OWNER_NONE, 0, OWNER_NONE, OWNER_NONE};
static inline struct mark_owner exercise_owner(uint32_t exercise)
{
    return mark_owner(exercise, 0, OWNER_NONE, OWNER_NONE);
}
static inline struct mark_owner bar_owner(const struct layout *layout, uint32_t bar)
{
    return mark_owner(layout->staff->index, 0, bar, OWNER_NONE);
}
static inline struct mark_owner leaf_owner(const struct layout *layout, const struct set_bar *bar,
                                           int line, size_t note)
{
    return mark_owner(layout->staff->index, (unsigned)line, bar->index,
                      (uint32_t)(note - bar->notes[line].first));
}

#endif
