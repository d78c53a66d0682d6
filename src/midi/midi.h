#ifndef RATAMARK_MIDI_MIDI_H
#define RATAMARK_MIDI_MIDI_H
/*
 * Writes a performance as a Standard MIDI File (Spec. 1.1), format 1: a conductor's track with
 * tempos, meters and a marker for each exercise and bar; then hands, feet and click, each on the
 * percussion channel of General MIDI. A track without strokes is left out.
 */
#include "base/buffer.h"
#include "model/performance.h"

#include <stdbool.h>

struct midi_report {
    uint32_t division;    /* ticks of a quarter */
    bool exact;           /* every onset falls on a tick */
    double worst_seconds; /* else: how far the worst one is moved */
    bool tempo_bound;     /* a tempo is below 3.6 quarters a minute, the slowest that MIDI has */
};

/* Appends the whole file. */
struct midi_report midi_write(const struct performance *performance, struct buffer *out);

/* Appends a number as a variable-length quantity: 7 bits a byte, at most 0FFFFFFF. */
void midi_add_quantity(struct buffer *out, uint32_t number);

#endif
