#ifndef RATAMARK_CHART_CHART_H
#define RATAMARK_CHART_CHART_H
/*
 * A lesson as text for the terminal: counts across, voices down.
 *
 *                │1   e   &   a  ┊2      trip   let │
 *     sticking   │R   L   R   L  ┊R      L      R   │
 *     snare      │▲       ●      ┊       ○          │
 *     bass drum  │●           ●  ┊                  │
 *
 * Within a beat, columns show exact time: each beat is divided into the smallest number of equal
 * units on which all its onsets fall, for hands and feet, so a stroke between two counts stands
 * between them. A unit is just wide enough to keep neighbours in a row apart; beats with equally
 * many units have the same width. Lines break between bars, and inside a bar only if it is too wide
 * for a line.
 */
#include "base/buffer.h"
#include "model/choice.h"
#include "model/score.h"

/* Adds the lesson, or only the exercises in `chosen`, at most `columns` wide if possible: a single
   beat is never broken. UTF-8, lines end in '\n'. */
void chart_write(const struct score *score, struct exercise_choice chosen, size_t columns,
                 struct buffer *out);

#endif
