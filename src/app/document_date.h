#ifndef RATAMARK_APP_DOCUMENT_DATE_H
#define RATAMARK_APP_DOCUMENT_DATE_H
/* The date that documents bear where the environment sets one. */
#include <stdbool.h>

enum { DOCUMENT_DATE_ROOM = 32 };

/* The date of SOURCE_DATE_EPOCH (reproducible-builds.org/specs/source-date-epoch) in `*date`, which
   then points to `text`; NULL where it is not set. False, and an error said, where it is no time.
 */
bool document_date(char text[DOCUMENT_DATE_ROOM], const char **date);

#endif
