#ifndef RATAMARK_DRAW_MUSIC_FACE_H
#define RATAMARK_DRAW_MUSIC_FACE_H
/*
 * A SMuFL face: what layout must know of its signs, and the signs for cairo. A sign that another
 * face lacks is borrowed from our own, so that no page has holes.
 */
#include "diag/diag.h"
#include "model/metrics.h"

#include <cairo.h>

struct music_face;

/* A sign as cairo shows it. */
struct music_sign {
    cairo_font_face_t *face;
    unsigned long index;
};

/* Our own face, from memory. Never NULL. */
struct music_face *music_face_own(void);

/* The face in a file, laid out by the metadata beside it: NAME.json, NAME_metadata.json or
   metadata.json in the same folder. Without metadata its outlines are measured, and our own
   defaults are used. NULL after an error in `diags`: `unreadable`, or `bad-value` if it is not a
   SMuFL face.
 */
struct music_face *music_face_load(const char *path, struct diags *diags);

void music_face_free(struct music_face *face);

/* The paths where that metadata may be, in order: `i` from 0. False after the last one. */
struct buffer;
bool music_face_metadata_path(const char *font, size_t i, struct buffer *path);

/* Sets what layout asks of the face: defaults, glyphs, extents. They last as long as the face. */
void music_face_measures(const struct music_face *face, struct metrics *metrics);
/* Lends the sign. An em of its face is four staff spaces. */
struct music_sign music_face_sign(const struct music_face *face, enum glyph glyph);

#endif
