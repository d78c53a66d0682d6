#include "app/document_date.h"

#include "console/status.h"

#include <errno.h>
#include <stdlib.h>
#include <time.h>

bool document_date(char text[DOCUMENT_DATE_ROOM], const char **date)
{
    const char *said = getenv("SOURCE_DATE_EPOCH");
    *date = NULL;
    if (!said || !*said)
        return true;
    char *end = NULL;
    errno = 0;
    long long seconds = strtoll(said, &end, 10);
    time_t when = (time_t)seconds;
    struct tm parts;
    if (*end || errno || seconds < 0 || !gmtime_r(&when, &parts) || parts.tm_year > 9999 - 1900) {
        say_error("SOURCE_DATE_EPOCH is not a time: '%s'", said);
        return false;
    }
    strftime(text, DOCUMENT_DATE_ROOM, "%Y-%m-%dT%H:%M:%SZ", &parts);
    *date = text;
    return true;
}
