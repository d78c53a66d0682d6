#ifndef RATAMARK_READ_READ_H
#define RATAMARK_READ_READ_H
/*
 * From bytes to a typed lesson. One pass finds all mistakes of form. What was reported is left out
 * of the lesson, so that later stages do not report it again.
 */
#include "diag/diag.h"
#include "model/lesson.h"

/* What lessons inherit from a course file. It lives in the arena it was read with. */
struct course_context;

struct read_source {
    const char *name; /* for messages: a path or "<stdin>"; must outlive the lesson */
    const char *bytes;
    size_t length;
};

/* The text after any byte order mark. */
struct read_source read_without_mark(struct read_source source);

/*
 * Reads a course file. `above` is the course file of a folder further up, NULL if there is none: it
 * gives what this one leaves out, and must outlive it. Returns NULL if nothing can be made of the
 * text; otherwise what read_lesson() takes, even if some values were reported.
 */
struct course_context *read_course(struct arena *arena, struct read_source source,
                                   const struct course_context *above, struct diags *diags);
const struct course *course_of(const struct course_context *context);
/* The settings that its lessons start from; of NULL, those of a lesson without a course. */
struct settings course_settings(const struct course_context *context);
/* A level of this name, defined in the course (which can be NULL) or built in. NULL: none. */
const struct limits *course_level(const struct course_context *course, const char *name);

/*
 * Reads a lesson under a course, NULL if there is none. Returns NULL only if nothing can be made of
 * the text: not YAML, too long, not UTF-8. A lesson with other errors can still be built and
 * checked, so that one run shows all of its mistakes.
 */
struct lesson *read_lesson(struct arena *arena, struct read_source source,
                           const struct course_context *course, struct diags *diags);

/* For tests that go through all keys: key number `index` with a level where it can stand, as
   messages name it: "a bar", "'show'". A key comes once for each level. False after the last. */
struct known_key {
    const char *name, *level;
};
bool read_known_key(size_t index, struct known_key *key);
/* Whether some key is called this. */
bool is_known_key(const char *word, size_t length);

/* Adds the JSON Schema (2020-12) of a lesson, or of a course file. */
struct buffer;
void read_schema(bool course, struct buffer *out);
/* For its test: key number `index` that the schema says nothing about. False after the last. */
bool read_undescribed(size_t index, struct known_key *key);

/* Adds a line with the name and version of the YAML library. */
void read_add_versions(struct buffer *out);

#endif
