#ifndef RATAMARK_BENCH_ENGRAVE_H
#define RATAMARK_BENCH_ENGRAVE_H
/* The whole way from bytes to a PDF that nobody keeps, for benches that time it or parts of it. */
#include "base/buffer.h"
#include "draw/draw.h"
#include "layout/layout.h"

struct engraving {
    struct arena *arena;
    struct diags *diags;
    const struct score *score;
    struct metrics metrics;
    struct layout *layout;
};

/* Reads, builds, checks and lays out. Ends the bench where the lesson has an error. `faces` must
   outlive it. */
void engraving_begin(struct engraving *engraving, const struct buffer *text, struct faces *faces);
void engraving_end(struct engraving *engraving);

/* Draws all pages to a PDF; returns its bytes. */
size_t engraving_draw(struct engraving *engraving, struct faces *faces);

/* Faces at the usual staff. */
struct faces *bench_faces(struct diags *diags);

#endif
