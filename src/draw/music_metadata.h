#ifndef RATAMARK_DRAW_MUSIC_METADATA_H
#define RATAMARK_DRAW_MUSIC_METADATA_H
/*
 * SMuFL font metadata (SMuFL 1.40, "Font-specific metadata"): numbers in staff spaces, y up.
 * Here they become thousandths, y down.
 */
#include "model/metrics.h"

#include <jansson.h>

/* Our own measures, for a face without metadata. */
extern const struct engraving_defaults music_metadata_house;

/* Overwrites the defaults that `metadata` states. NULL states none. */
void music_metadata_defaults(const json_t *metadata, struct engraving_defaults *defaults);

/* The ink box of a sign; false if the metadata has none. */
bool music_metadata_box(const json_t *metadata, const char *name, struct box *box);
/* The advance width of a sign; false if the metadata has none. */
bool music_metadata_advance(const json_t *metadata, const char *name, sp *advance);
/* The anchors of a sign whose ink box is known. Where `metadata` states none, stems join in the
   middle of the box's sides, and flags leave the end of the stem at their origin (SMuFL,
   registration). */
void music_metadata_anchors(const json_t *metadata, const char *name, struct glyph_metrics *glyph);

#endif
