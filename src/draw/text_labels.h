#ifndef RATAMARK_DRAW_TEXT_LABELS_H
#define RATAMARK_DRAW_TEXT_LABELS_H
/*
 * Labels: text that is set. A sheet repeats a few letters and syllables thousands of times, so each
 * (style, text) is set once and kept as runs of glyphs that are ready for cairo.
 */
#include "diag/diag.h"
#include "draw/text_setter.h"
#include "model/metrics.h"

#include <cairo.h>

/* What text is shown with: a font, its size (the matrix, in points) and its grey. */
struct label_pen {
    cairo_font_face_t *face;
    cairo_matrix_t matrix;
    double grey;         /* 0 black ... 1 white */
    unsigned long space; /* the font's glyph for a space; 0: it has none */
};

/* Glyphs of one pen, at positions in points from the origin of the label. Clusters and bytes say
   which text they show, so that it can be copied from a PDF. */
struct label_run {
    uint32_t pen;  /* index for text_labels_pen() */
    bool backward; /* from right to left: see cairo_text_cluster_flags_t */
    size_t glyph_count, cluster_count, byte_count;
    const cairo_glyph_t *glyphs;
    const cairo_text_cluster_t *clusters;
    const char *bytes;
    const char *from; /* where in the text; for the order of runs, never read */
};

/* In the order in which they are read, which need not be that from left to right. */
struct label_runs {
    const struct label_run *runs;
    size_t count;
    bool joined; /* a line of a paragraph that ends within a word: no space follows */
};

struct text_labels;

/* Labels for staves of this size. `missing` is lent and gets the characters that no installed font
   has, `diags` a warning if fonts are missing. */
struct text_labels *text_labels_open(double space_mm, missing_characters *missing,
                                     struct diags *diags);
void text_labels_close(struct text_labels *labels);
/* Changes to staves of another size and forgets all labels and pens; nothing happens at the same
   size. */
void text_labels_resize(struct text_labels *labels, double space_mm);
/* The same at any size. */
void text_labels_renew(struct text_labels *labels, double space_mm);

/* Sets what layout asks of labels (model/metrics.h). */
void text_labels_measures(struct text_labels *labels, struct metrics *metrics);

/* Good until another label is made, as is the pen below. */
const struct label_metrics *text_labels_metrics(const struct text_labels *labels, label_id label);
const char *text_labels_text(const struct text_labels *labels, label_id label);
struct label_runs text_labels_runs(const struct text_labels *labels, label_id label);
const struct label_pen *text_labels_pen(const struct text_labels *labels, uint32_t pen);
size_t text_labels_pen_count(const struct text_labels *labels);

#endif
