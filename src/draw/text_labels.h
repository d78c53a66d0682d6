#ifndef RATAMARK_DRAW_TEXT_LABELS_H
#define RATAMARK_DRAW_TEXT_LABELS_H
/*
 * Set text. Each distinct (style, text) is shaped once and kept as runs of glyphs that cairo shows
 * as they are: a sheet repeats the same few letters and syllables thousands of times.
 */
#include "diag/diag.h"
#include "model/metrics.h"

#include <cairo.h>

/* What text is shown with: a font, its size (in the matrix, points) and its ink. */
struct label_pen {
    cairo_font_face_t *face;
    cairo_matrix_t matrix;
    double grey;         /* 0 black ... 1 white */
    unsigned long space; /* the font's glyph for a space; 0: it has none */
};

/* Glyphs of one pen. Positions in points from the label's origin; clusters and bytes tie them to
   the text, so that it can be copied out of a PDF. */
struct label_run {
    uint32_t pen;  /* index for text_labels_pen() */
    bool backward; /* written right to left: see cairo_text_cluster_flags_t */
    size_t glyph_count, cluster_count, byte_count;
    const cairo_glyph_t *glyphs;
    const cairo_text_cluster_t *clusters;
    const char *bytes;
    const char *from; /* where in the text that was set: for the order of runs, not to be read */
};

/* In the order in which they are read, wherever they stand. */
struct label_runs {
    const struct label_run *runs;
    size_t count;
    bool joined; /* a line of a paragraph that ends within a word: no space follows */
};

struct text_labels;

/* Text for staves of this size. Says in `diags` which fonts the machine does not have. */
struct text_labels *text_labels_open(double space_mm, struct diags *diags);
void text_labels_close(struct text_labels *labels);
/* For staves of another size: forgets all labels and pens. Nothing happens at the same size. */
void text_labels_resize(struct text_labels *labels, double space_mm);
/* For another lesson: forgets all labels and pens, and which characters were missing. */
void text_labels_renew(struct text_labels *labels, double space_mm);
/* The characters so far that no installed font has, each once; good until another is found. */
size_t text_labels_missing(const struct text_labels *labels, const uint32_t **characters);

/* Sets what layout asks of labels (model/metrics.h). */
void text_labels_measures(struct text_labels *labels, struct metrics *metrics);

/* Good until another label is made, as is the pen below. */
const struct label_metrics *text_labels_metrics(const struct text_labels *labels, label_id label);
const char *text_labels_text(const struct text_labels *labels, label_id label);
struct label_runs text_labels_runs(const struct text_labels *labels, label_id label);
const struct label_pen *text_labels_pen(const struct text_labels *labels, uint32_t pen);
size_t text_labels_pen_count(const struct text_labels *labels);

#endif
