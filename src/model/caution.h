#ifndef RATAMARK_MODEL_CAUTION_H
#define RATAMARK_MODEL_CAUTION_H
/* Shown with every speed goal. */
extern const char practice_caution[];

#endif
