#ifndef RATAMARK_CHART_CHART_INT_H
#define RATAMARK_CHART_CHART_INT_H
/*
 * What the files of the chart share. One exercise goes through them in this order:
 *
 *     chart_gather()   collects the rows and their tokens
 *     chart_measure()  finds the width of each beat and of the labels
 *     chart_break()    chooses the beats of the next line
 *     chart_draw()     writes that line as text
 */
#include "base/buffer.h"
#include "base/vector.h"
#include "model/score.h"

/* The most units of a beat; onsets that need more (deep tuplets against each other) are rounded. */
enum { UNITS_MAX = 240 };

/* One entry of a row. Grace strokes stand before its place. */
struct token {
    uint32_t beat;          /* index among the beats of the exercise */
    struct fraction within; /* how far into the beat, as a share of it */
    const char *before, *text;
};

struct row {
    const char *label;
    const char *whose; /* the hand that has a line of its own; NULL */
    VECTOR(struct token) tokens;
    size_t drawn; /* tokens on earlier lines */
};

/* One beat of the exercise. */
struct chart_beat {
    uint32_t bar;
    bool begins_bar, ends_bar;
    uint32_t units;
    size_t width; /* in cells: the lead and the units, without the line in front */
};

struct chart {
    struct arena *arena;
    const struct score *score;
    const struct score_exercise *exercise;
    size_t columns;
    VECTOR(struct chart_beat) beats;
    struct row words, band, counts, dynamics, sticking;
    VECTOR(struct row) voices; /* of the hands, then of the feet; highest on the staff first */
    size_t lead;               /* cells in front of each beat, for grace strokes */
    size_t beat_width;         /* of all beats, without the lead; 0: each has its own */
    size_t unit_width[UNITS_MAX + 1];
    size_t label_width;
    mark_set marks; /* that the rows of voices show ... */
    bool plain;     /* ... and strokes without such a mark */
};

/* A line of the chart: beats [first, end). */
struct stretch {
    size_t first, end;
};

/* Shown for a stroke without marks. */
#define CHART_PLAIN_STROKE "\u25CF"

void chart_gather(struct chart *chart);
/* Calls `visit` for every row of the exercise from top to bottom. */
void chart_each_row(struct chart *chart, void (*visit)(struct chart *chart, struct row *row));

void chart_measure(struct chart *chart);
/* The width of one unit of a beat, in cells. */
size_t chart_unit_width(const struct chart *chart, const struct chart_beat *beat);
/* The unit a token stands on, rounded down if the beat has too few units. */
size_t chart_unit_of(const struct chart *chart, const struct token *token);
/* The width of a text, in cells. */
size_t chart_cells(const char *text);

/* The line that starts with the beat `first`: as many whole bars as fit. A bar that is too wide for
   a line gives as many beats as fit, at least one. */
struct stretch chart_break(const struct chart *chart, size_t first);

/* Adds the rows of one line. Call it for each line in order. */
void chart_draw(struct chart *chart, struct stretch stretch, struct buffer *out);
/* Removes trailing spaces and ends the line. */
void chart_end_line(struct buffer *out);

#endif
