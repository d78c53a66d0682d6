#ifndef RATAMARK_CHART_GRID_INT_H
#define RATAMARK_CHART_GRID_INT_H
/*
 * What the files of the grid share. One exercise goes through them in this order:
 *
 *     grid_gather()   what stands where: rows of tokens, by beat and share of the beat
 *     grid_measure()  units and widths of beats, width of the labels
 *     grid_break()    which beats stand on the next line
 *     grid_draw()     that line as text
 */
#include "base/buffer.h"
#include "base/vector.h"
#include "model/score.h"

/* Units of a beat at most; onsets that need more (deep tuplets against each other) are rounded. */
enum { UNITS_MAX = 240 };

/* What stands at one place of a row: text before the place (grace strokes), at it and after it. */
struct token {
    uint32_t beat;          /* in the exercise's row of beats */
    struct fraction within; /* share of the beat that is past */
    const char *before, *text;
};

struct row {
    const char *label;
    VECTOR(struct token) tokens;
    size_t drawn; /* tokens on the lines above */
};

/* One beat of the exercise. */
struct grid_beat {
    uint32_t bar;
    bool begins_bar, ends_bar;
    uint32_t units;
    size_t width; /* cells: lead, then units, without the line in front */
};

struct grid {
    struct arena *arena;
    const struct score *score;
    const struct score_exercise *exercise;
    size_t columns;
    VECTOR(struct grid_beat) beats;
    struct row counts, dynamics, sticking;
    VECTOR(struct row) hands, feet; /* one a voice, highest on the staff first */
    size_t lead;                    /* cells in front of each beat, for grace strokes */
    size_t beat_width;              /* of equal beats, without the lead; 0: each its own */
    size_t unit_width[UNITS_MAX + 1];
    size_t label_width;
    mark_set marks; /* that the rows of voices show ... */
    bool plain;     /* ... and strokes without such a mark */
};

/* A line of the grid: beats [first, end). */
struct stretch {
    size_t first, end;
};

/* What stands for a stroke without a mark that its row shows. */
#define GRID_PLAIN_STROKE "\u25CF"

void grid_gather(struct grid *grid);
/* Calls `visit` for every row of the exercise from top to bottom. */
void grid_each_row(struct grid *grid, void (*visit)(struct grid *grid, struct row *row));

void grid_measure(struct grid *grid);
/* Cells of one unit of a beat. */
size_t grid_unit_width(const struct grid *grid, const struct grid_beat *beat);
/* The unit that a token stands on; rounded down where the beat has not enough of them. */
size_t grid_unit_of(const struct grid *grid, const struct token *token);
/* Cells that a text takes. */
size_t grid_cells(const char *text);

/* The line that begins with the beat `first`: as many whole bars as fit; of a bar that is too wide
   alone as many beats; never less than one. */
struct stretch grid_break(const struct grid *grid, size_t first);

/* Adds the rows of one line. To be called for each line in order. */
void grid_draw(struct grid *grid, struct stretch stretch, struct buffer *out);
/* Takes blanks off the end and begins a new line. */
void grid_end_line(struct buffer *out);

#endif
