#ifndef RATAMARK_PRACTICE_PLAYED_DATA_H
#define RATAMARK_PRACTICE_PLAYED_DATA_H
/*
 * What an exercise's performance says, as data for the script of the practice page (JSON, RFC
 * 8259). Time is in whole notes, as fractions [numerator, denominator]:
 *
 *     {"exercise": 1,                  as printed; the section is #exercise-1
 *      "base": 60, "low": 30, "high": 96,                   beats a minute: as written, at least,
 *                                                           at most
 *      "steps": [60,68.5,...],                              of its practice ladder
 *      "from": [1,1], "end": [9,1],    the count-in is over; the end
 *      "tempos": [[0,1, 15,1], ...],   from there on, whole notes a minute
 *      "bars": [[1,1, 1,0,1], ...],    where a bar begins: its exercise, as printed, its index
 *                                      and its number, 0 for a pickup
 *      "strokes": [[n,d, part,key,velocity,kind, exercise,bar,line,leaf,row, n,d], ...]}
 *
 * `kind` is an enum strike_kind; `line` and `leaf` are those of the marks of a page, `row` is the
 * line that it is written in, as grace strokes keep clear of strokes of their own. The last two are
 * the moment of the written stroke that a grace stroke belongs to, and are there for those alone.
 */
#include "base/buffer.h"
#include "model/performance.h"
#include "model/score.h"

void played_data_write(const struct score *score, size_t exercise,
                       const struct performance *performance, struct buffer *out);

#endif
