#ifndef RATAMARK_READ_READ_H
#define RATAMARK_READ_READ_H
/*
 * From bytes to a typed lesson. All mistakes of form are found in one pass and added to the list;
 * what was reported is left out of the lesson, so that later stages do not complain of it again.
 */
#include "diag/diag.h"
#include "model/lesson.h"

/* A course file's content as a lesson inherits it. Opaque; lives in its arena. */
struct course_context;

struct read_source {
    const char *name; /* for places: a path or "<stdin>"; must outlive the lesson */
    const char *bytes;
    size_t length;
};

/*
 * Reads a course file. `above` is the course file of a folder further up, NULL if there is none: it
 * gives what this one leaves out, and must outlive it. Returns NULL if nothing can be made of the
 * text; otherwise what read_lesson() takes, even if some values were reported.
 */
struct course_context *read_course(struct arena *arena, struct read_source source,
                                   const struct course_context *above, struct diags *diags);
const struct course *course_of(const struct course_context *context);
/* What its lessons start from; of NULL, what they start from without a course. */
struct settings course_settings(const struct course_context *context);
/* The level with this name: the course's own (NULL: no course), or a built-in one. NULL: none. */
const struct limits *course_level(const struct course_context *course, const char *name);

/*
 * Reads a lesson under a course (NULL: none). Returns NULL only where nothing can be made of the
 * text (not YAML, too long, not UTF-8); what else is wrong is in `diags`, and a lesson with errors
 * may still be built and checked so that all of its mistakes come in one run.
 */
struct lesson *read_lesson(struct arena *arena, struct read_source source,
                           const struct course_context *course, struct diags *diags);

/* Key number `index` of the format, from 0, with a level where it may stand, as messages name it:
   "a bar", "'show'". A key stands in the list once a level. False behind the last. */
struct known_key {
    const char *name, *level;
};
bool read_known_key(size_t index, struct known_key *key);

/* The little languages on their own; `at` is the place of text[0], all on one line. NULL after a
   reported error. */
struct stroke_line *read_stroke_line(struct arena *arena, const char *text, struct place at,
                                     struct diags *diags);
struct rhythm_line *read_rhythm_line(struct arena *arena, const char *text, struct place at,
                                     struct diags *diags);
struct address_list *read_addresses(struct arena *arena, const char *text, struct place at,
                                    struct diags *diags);

/* Adds the name and version of the library that reads, on a line. */
struct buffer;
void read_add_versions(struct buffer *out);

#endif
