#ifndef RATAMARK_APP_DOCUMENT_DATE_H
#define RATAMARK_APP_DOCUMENT_DATE_H
/* The date in documents, if the environment sets one. */
#include <stdbool.h>

enum { DOCUMENT_DATE_ROOM = 32 };

/* Sets `*date` to the date in SOURCE_DATE_EPOCH (reproducible-builds.org/specs/source-date-epoch),
   written to `text`; NULL without the variable. False, with an error said, if it is not a time. */
bool document_date(char text[DOCUMENT_DATE_ROOM], const char **date);

#endif
