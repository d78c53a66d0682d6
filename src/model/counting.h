#ifndef RATAMARK_MODEL_COUNTING_H
#define RATAMARK_MODEL_COUNTING_H
/*
 * The built-in counting systems (english, eastman, takadimi, units): the syllable for each slot of
 * a beat.
 * "#" in a syllable stands for the beat's number.
 *
 * A system's table is written for quarter beats (simple) and dotted quarter beats (compound). Other
 * beats are counted like the subdivision that divides a usual beat in the same way: the eighths of
 * 2/2, four to a beat, are counted like the sixteenths of 4/4.
 */
#include "model/lesson.h"

/* By name, case ignored; NULL if there is none. */
const struct counting *counting_find(const char *name, size_t length);
const struct counting *counting_default(void); /* english */

/* The names of the built-in systems; NULL ends them. */
enum { COUNTING_COUNT = 4 };
extern const char *const counting_names[COUNTING_COUNT + 1];

/* The syllables for this subdivision in this beat, one for each slot of subdivision_divide(). NULL
   if the system has none for it, or if it does not fit the beat. */
const char *const *counting_spoken(const struct counting *counting, enum subdivision subdivision,
                                   const struct beat *beat);

/* The quarter or the dotted quarter, at the start of a bar. */
struct beat counting_usual_beat(enum beat_kind kind);

#endif
