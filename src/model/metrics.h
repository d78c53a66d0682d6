#ifndef RATAMARK_MODEL_METRICS_H
#define RATAMARK_MODEL_METRICS_H
/*
 * The sizes of glyphs and text that layout needs. Drawing implements this interface with real
 * fonts, tests with a plain table. All lengths are `sp`, thousandths of a staff space, x to the
 * right and y DOWN (a glyph's ink above the baseline has negative y).
 */
#include "model/glyph.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef int32_t sp; /* thousandths of a staff space */

struct box {
    sp left, top, right, bottom; /* empty where right < left */
};

static inline sp sp_max(sp a, sp b)
{
    return a > b ? a : b;
}
static inline sp sp_min(sp a, sp b)
{
    return a < b ? a : b;
}
static inline struct box box_joined(struct box a, struct box b)
{
    return (struct box){sp_min(a.left, b.left), sp_min(a.top, b.top), sp_max(a.right, b.right),
                        sp_max(a.bottom, b.bottom)};
}

struct point {
    sp x, y;
};

/*
 * Ink in slices. Boxes alone are too coarse: a parenthesis curves around a head that its box would
 * touch. A glyph is cut into bands of a quarter space, by height (`rows`: the least and greatest x
 * of the ink in each) and by width (`columns`: the least and greatest y). A row also includes the
 * ink up to GLYPH_ROW_PAD above and below it, so that neighbouring rows keep clear of corners.
 */
enum { GLYPH_SLICE = 250, GLYPH_ROW_PAD = 60, GLYPH_SLICES_MAX = 64 };

struct extent {
    int16_t low, high; /* from the origin; no ink where high < low */
};
struct slices {
    uint16_t first; /* in metrics.extents */
    int8_t from;    /* slice i is [(from + i) * GLYPH_SLICE, + GLYPH_SLICE) from the origin */
    uint8_t count;
};

struct glyph_metrics {
    struct box ink;
    sp advance;
    bool present; /* the face has the glyph */
    /* SMuFL anchors (y down here). Without metadata: the middle of the ink box's right or left
       side, or a flag's origin. */
    struct point stem_up_se, stem_down_nw; /* noteheads: where the stem joins */
    struct point stem_up_nw, stem_down_sw; /* flags: where they leave the stem's end */
    struct slices rows, columns;
};

/* The face's engravingDefaults, in sp. If another face lacks a value, ours is used. */
struct engraving_defaults {
    sp staff_line, stem, beam, beam_gap, leger, leger_extension;
    sp thin_bar, thick_bar, bar_separation, repeat_dot_separation;
    sp tuplet_bracket, hairpin, tie_end, tie_middle;
};

/* Every kind of text on the page; text_style.c has their sizes and weights. */
enum text_style {
    TEXT_TITLE,
    TEXT_SUBTITLE,
    TEXT_SCHOOL, /* author, level: head of the page, right */
    TEXT_HEADING,
    TEXT_HEADING_NUMBER,
    TEXT_INSTRUCTION,
    TEXT_PARAGRAPH,
    TEXT_TEMPO,
    TEXT_STICKING,
    TEXT_STICKING_GRACE, /* the letters of grace strokes */
    TEXT_ROLL_NUMBER,
    TEXT_STICKING_FEET, /* lighter than the hands' letters */
    TEXT_COUNT,
    TEXT_COUNT_BEAT,
    TEXT_COUNT_SILENT,
    TEXT_COUNT_TIGHT, /* condensed: see layout/count_cut.c */
    TEXT_COUNT_BEAT_TIGHT,
    TEXT_COUNT_SILENT_TIGHT,
    TEXT_KEY_LABEL,
    TEXT_KEY_TITLE,
    TEXT_PLAN_LABEL,
    TEXT_PLAYS,
    TEXT_ENDING,
    TEXT_MARK,  /* a rehearsal letter */
    TEXT_WORDS, /* over a bar */
    TEXT_DYNAMIC_WORD,
    TEXT_LADDER_TITLE,
    TEXT_LADDER_STEP,
    TEXT_CAUTION,
    TEXT_FOOT,
    TEXT_BAR_NUMBER,
    TEXT_COVER_TITLE, /* of a booklet */
    TEXT_COVER_SUBTITLE,
    TEXT_COVER_AUTHOR,
    TEXT_COVER_NUMBER,
    TEXT_CONTENTS,
    TEXT_CONTENTS_NOTE,
    TEXT_STYLE_COUNT
};

struct text_style_row {
    bool italic;
    int weight;    /* 400, 600, 700 bold */
    bool of_staff; /* size in staff spaces, grows with the staff; else millimetres */
    double size;   /* em, in staff spaces or millimetres */
    double grey;   /* 0 black ... 1 white */
    double width;  /* of its letters, in proportion to the font's own; 0: as the font has them */
};
const struct text_style_row *text_style(enum text_style style);
/* The em in millimetres for a page of this staff space. On a staff of `size` per thousand, which is
   drawn smaller with all its text, it is so much larger that none gets smaller than 7 points, and
   none that is in millimetres smaller than that. */
double text_style_mm(enum text_style style, double space_mm, int size);

typedef uint32_t label_id; /* a distinct (style, text), shaped once */

struct label_metrics {
    struct box ink; /* from the origin: start of the line, on the baseline */
    sp advance;
    sp ascent, descent; /* of the style's face, both positive: for even line distances */
    bool backward;      /* a line that runs from right to left */
};

/* The interface. `self` belongs to the implementation; labels live as long as it does. Two threads
   must not use it at once. */
struct metrics {
    void *self;
    const struct engraving_defaults *defaults;
    const struct glyph_metrics *glyphs; /* GLYPH_COUNT of them */
    const struct extent *extents;       /* of all their slices */
    double space_mm;                    /* one staff space on paper */
    /* On a staff of this size, per thousand of the page's, labels will be drawn from now on. */
    void (*staff_size)(void *self, int size);
    /* The label for `length` bytes of UTF-8 without line breaks; equal texts get the same label.
       Its metrics are valid until the next call. */
    label_id (*label)(void *self, enum text_style style, const char *text, size_t length);
    const struct label_metrics *(*label_metrics)(void *self, label_id label);
    /* The optical centre of a letter or syllable, from its origin: between the middle of its ink
       and its centre of mass. Computed at every call. */
    sp (*label_centre)(void *self, label_id label);
    /* Breaks a paragraph into lines no wider than `width`; a longer word is broken. Returns how
       many lines; `*lines` is valid until the next call. */
    size_t (*wrap)(void *self, enum text_style style, const char *text, size_t length, sp width,
                   const label_id **lines);
};

static inline label_id metrics_label(const struct metrics *metrics, enum text_style style,
                                     const char *text, size_t length)
{
    return metrics->label(metrics->self, style, text, length);
}
static inline const struct label_metrics *metrics_of_label(const struct metrics *metrics,
                                                           label_id label)
{
    return metrics->label_metrics(metrics->self, label);
}

#endif
