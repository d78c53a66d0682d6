#ifndef RATAMARK_COURSE_FINGERPRINT_H
#define RATAMARK_COURSE_FINGERPRINT_H
/* The fingerprint of a lesson: one digest of everything its outputs depend on except its own bytes.
   That is its course files, the program and its libraries, the machine's fonts, the sound font for
   audio, and the options that change a page. */
#include "course/course_options.h"
#include "course/course_record.h"
#include "course/course_tree.h"

/* Whether a course file (NULL: none) asks for audio. */
bool course_makes_audio(const struct input *course);

/* The part that is the same for all lessons of a run. Searches for fonts only if the record does
   not know them, and then records them. `date`: of the documents; NULL: none. */
struct digest fingerprint_of_run(const struct course_options *options, const char *date,
                                 struct course_record *record);

/* The fingerprint of all lessons under a course file (NULL: none). */
struct digest fingerprint_of_course(struct digest common, const struct input *course);

#endif
