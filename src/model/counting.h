#ifndef RATAMARK_MODEL_COUNTING_H
#define RATAMARK_MODEL_COUNTING_H
/* The counting systems that are built in: english, eastman, takadimi. */
#include "model/lesson.h"

/* By name; NULL where there is none. */
const struct counting *counting_find(const char *name, size_t length);
const struct counting *counting_default(void); /* english */

#endif
