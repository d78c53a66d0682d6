#ifndef RATAMARK_MODEL_CAUTION_H
#define RATAMARK_MODEL_CAUTION_H
/* What goes with every speed goal: practice can hurt. */
extern const char practice_caution[];

#endif
