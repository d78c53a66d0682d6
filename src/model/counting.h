#ifndef RATAMARK_MODEL_COUNTING_H
#define RATAMARK_MODEL_COUNTING_H
/*
 * What is spoken in each slot of a beat: the systems that are built in (english, eastman, takadimi)
 * and how a system's table is read. A syllable's "#" stands for the beat's number.
 *
 * A table is written for the usual beats, the quarter (simple) and the dotted quarter (compound).
 * In a beat of another length the subdivision that divides it in the same way speaks: the eighths
 * of 2/2, four to a beat, are counted as sixteenths are in 4/4.
 */
#include "model/lesson.h"

/* By name, case ignored; NULL where there is none. */
const struct counting *counting_find(const char *name, size_t length);
const struct counting *counting_default(void); /* english */

/* The names of the built-in systems; NULL ends them. */
enum { COUNTING_COUNT = 3 };
extern const char *const counting_names[COUNTING_COUNT + 1];

/*
 * The syllables that the system speaks for this subdivision in this beat, one for each slot of
 * subdivision_divide(); NULL where the system has none for it, or where it does not fit the beat.
 */
const char *const *counting_spoken(const struct counting *counting, enum subdivision subdivision,
                                   const struct beat *beat);

/* The quarter or the dotted quarter, at the start of a bar. */
struct beat counting_usual_beat(enum beat_kind kind);

#endif
