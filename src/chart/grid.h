#ifndef RATAMARK_CHART_GRID_H
#define RATAMARK_CHART_GRID_H
/*
 * A lesson as text for the terminal: counts across, voices down.
 *
 *                │1   e   &   a  ┊2      trip   let │
 *     sticking   │R   L   R   L  ┊R      L      R   │
 *     snare      │▲       ●      ┊       ○          │
 *     bass drum  │●           ●  ┊                  │
 *
 * Within a beat the columns are exact time: each beat is parted into the least number of equal
 * units that holds all its onsets, hands and feet, so that what falls between two counts stands
 * between them. The units' width is the least that keeps neighbours of a row apart, the same for
 * all beats of an exercise that have as many. Lines break between bars, inside a bar only where it
 * alone is wider than the page.
 */
#include "base/buffer.h"
#include "model/choice.h"
#include "model/score.h"

/* Adds the lesson, or the exercises that `chosen` names, at most `columns` wide where that can be
   (a single beat is never broken). UTF-8, lines ending in '\n'. */
void grid_write(const struct score *score, struct exercise_choice chosen, size_t columns,
                struct buffer *out);

#endif
