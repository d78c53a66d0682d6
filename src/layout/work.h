#ifndef RATAMARK_LAYOUT_WORK_H
#define RATAMARK_LAYOUT_WORK_H
/*
 * Bars in the making: their columns, springs, notes and beams, each kind in one row. A bar knows
 * its part of each row; while a line is set, the work knows the line's. Where on the page things
 * stand is known only then.
 */
#include "base/vector.h"
#include "layout/chord.h"
#include "layout/geometry.h"
#include "layout/springs.h"
#include "model/page.h"

#define NONE UINT32_MAX

/* An instant of a bar at which a note or rest begins or a syllable is spoken. */
struct column {
    struct fraction onset;
    uint32_t hands, feet, count; /* leaf, leaf, count: index in the bar; NONE */
    uint32_t figure;             /* leaf of the figures above, or NONE */
    double shortest;             /* the shortest value that sounds, in whole notes */
    struct fraction shortest_exact;
    sp tight; /* from the bar's first column, as near as its neighbours allow */
    sp x;
};

struct set_note {
    const struct leaf *leaf;
    struct chord chord; /* count 0: a rest */
    uint32_t column;    /* in the work's columns */
    bool hidden;        /* a rest of the feet, or joined to the hands' stem */
    bool up;
    bool beamed;
    uint8_t beams;
    uint16_t rest_glyph;
    bool crosses; /* heads of the other hand may lie where its stem goes: */
    sp clear;     /* beams and flags keep beyond this height */
    sp rest_y;    /* of a rest */
    sp x;         /* of its column */
    sp stem_end;  /* height of the stem's end */
};

/* A run of notes under one beam. */
struct beam_group {
    uint32_t bar, set_bar; /* in the exercise, in the work */
    uint32_t first, end;   /* notes of the work [first, end) */
    uint8_t line;
    uint8_t most; /* beams that any of its notes has */
    bool up;
    sp x, y;      /* a point of the outermost beam's outer edge */
    double slope; /* rise downwards per x */
};

/* The height of a group's outer edge at x. */
static inline sp beam_edge(const struct beam_group *group, sp x)
{
    double rise = group->slope * (x - group->x);
    return group->y + (sp)(rise < 0 ? rise - 0.5 : rise + 0.5);
}
/* From one beam's edge to that of the next, and the height of `count` beams. */
static inline sp beam_step(const struct engraving_defaults *defaults)
{
    return defaults->beam + defaults->beam_gap;
}
static inline sp beams_thick(const struct engraving_defaults *defaults, int count)
{
    return count ? count * beam_step(defaults) - defaults->beam_gap : 0;
}

struct set_bar {
    const struct score_bar *bar;
    uint32_t index;       /* in the exercise */
    struct range columns; /* and springs: one a column, the last to the bar line */
    struct range notes[LINE_COUNT];
    struct range groups; /* beams of both lines */
    sp lead;             /* bar line to first column */
    sp left, right;      /* where the ink of its bar lines ends and begins */
    sp line_left;        /* where the bar line after it begins */
};

struct work {
    VECTOR(struct set_bar) bars;
    VECTOR(struct column) columns;
    VECTOR(struct spring) springs; /* as many as columns */
    VECTOR(struct set_note) notes;
    VECTOR(struct beam_group) groups;
    /* of the line that is being set */
    struct range line_bars, line_columns, line_notes, line_groups;
};

static inline const struct set_bar *line_first_bar(const struct work *work)
{
    return &work->bars.items[work->line_bars.first];
}
static inline const struct set_bar *line_last_bar(const struct work *work)
{
    return &work->bars.items[work->line_bars.end - 1];
}
/* Where a bar begins: at the bar line before it, though a new meter stands between. */
static inline sp bar_begins(const struct work *work, const struct set_bar *bar)
{
    return bar == line_first_bar(work) ? bar->left : bar[-1].right;
}
/* What follows a bar inside its line; NULL at the line's end. */
static inline const struct score_bar *line_next_bar(const struct work *work,
                                                    const struct set_bar *bar)
{
    return bar == line_last_bar(work) ? NULL : bar->bar + 1;
}

#endif
