#ifndef RATAMARK_MODEL_TEMPO_H
#define RATAMARK_MODEL_TEMPO_H
/* What a tempo means: the beat that it counts, and the steps of its practice ladder. The page and
   the sound read the same ones. */
#include "model/lesson.h"

enum { TEMPO_RUNGS_MAX = 64 };

/* The meter's own beat, in whole notes; where its beats differ, its unit. */
struct fraction tempo_meter_beat(const struct meter *meter);
/* The beat that the tempo counts in this meter, in whole notes. */
struct fraction tempo_beat(const struct tempo *tempo, const struct meter *meter);

/* The steps of the ladder in beats a minute: a list's own numbers, those of a range with about six
   even steps, the goal last. Returns how many, at least 1. */
size_t tempo_rungs(const struct tempo *tempo, unsigned rungs[TEMPO_RUNGS_MAX]);

/* The steps of a ladder up to what can be played, in whole beats a minute: from six tenths of it in
   steps of about its eighteenth, which can be felt (a row of beats is heard to change by 2.5 %:
   Friberg and Sundberg, J. Acoust. Soc. Am. 98, 1995). `tenths` are quarters a minute. */
size_t tempo_rungs_to(uint32_t tenths, struct fraction beat, unsigned rungs[TEMPO_RUNGS_MAX]);

#endif
