#ifndef RATAMARK_BENCH_REPLAY_H
#define RATAMARK_BENCH_REPLAY_H
/*
 * The marks of pages, made ready for bare cairo: paths and rows of glyphs in points, sorted so
 * that cairo gets each setting once. What is left to a replay is cairo's own work.
 */
#include "draw/draw.h"

#include <stddef.h>

struct replay;

/* `faces` must outlive it. */
struct replay *replay_new(struct faces *faces);
void replay_add(struct replay *replay, const struct page *page);
void replay_free(struct replay *replay);

/* Draws all to a PDF that nobody keeps; returns its bytes. */
size_t replay_draw(const struct replay *replay);

#endif
