#ifndef RATAMARK_COURSE_FINGERPRINT_H
#define RATAMARK_COURSE_FINGERPRINT_H
/* What a lesson's outputs are made from beside its own bytes, as one digest: its course file's
   bytes, the program and its libraries, the machine's fonts, for audio its sound font, and the
   options that a page depends on. */
#include "course/course_options.h"
#include "course/course_record.h"
#include "course/course_tree.h"

/* Whether the lessons under a course file (NULL: none) are made into audio, too. */
bool course_makes_audio(const struct input *course);

/* The part that is the same for all lessons. Fonts are looked for only where the record does not
   know them; what was found is put into it. `date` is that of the documents, NULL: none. */
struct digest fingerprint_of_run(const struct course_options *options, const char *date,
                                 struct course_record *record);

/* The key of all lessons under a course file (NULL: none). */
struct digest fingerprint_of_course(struct digest common, const struct input *course);

#endif
