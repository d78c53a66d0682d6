#ifndef RATAMARK_MODEL_TEMPO_H
#define RATAMARK_MODEL_TEMPO_H
/* The beat that a tempo counts, and the steps of its practice ladder. Page and sound share them. */
#include "model/lesson.h"

/* Tempos are in hundredths of a beat a minute. */
enum { TEMPO_ONE = 100, TEMPO_RUNGS_MAX = 64, TEMPO_TEXT_ROOM = 16 };

/* "72", "72.5" */
const char *tempo_text(uint32_t hundredths, char room[TEMPO_TEXT_ROOM]);

/* The meter's beat, in whole notes; if its beats differ in length, its unit. */
struct fraction tempo_meter_beat(const struct meter *meter);
/* The beat that the tempo counts in this meter, in whole notes. No tempo: the beat of the meter. */
struct fraction tempo_beat(const struct tempo *tempo, const struct meter *meter);

/* The steps of the ladder: the numbers of a list, or about six even steps through
   a range, with the goal last; a gradual tempo has only the one that it begins with. Returns how
   many, at least 1. */
size_t tempo_rungs(const struct tempo *tempo, unsigned rungs[TEMPO_RUNGS_MAX]);

/* The steps of a ladder up to the fastest playable tempo, in whole beats: they start at
   six tenths of it and rise by about an eighteenth, a step that can be felt (listeners notice a
   change of 2.5 %: Friberg and Sundberg, J. Acoust. Soc. Am. 98, 1995). `tenths` is that tempo, in
   tenths of a quarter a minute. */
size_t tempo_rungs_to(uint32_t tenths, struct fraction beat, unsigned rungs[TEMPO_RUNGS_MAX]);

#endif
