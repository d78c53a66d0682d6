#ifndef RATAMARK_DIAG_DIAG_H
#define RATAMARK_DIAG_DIAG_H
/*
 * What is wrong with a lesson, and where: places in a file and a list of findings. Stages add to
 * the list and go on; nothing below the command line prints.
 *
 *     diag_add(diags, DIAG_UNKNOWN_VOICE, word.at, "no voice is called '%s'", word.text);
 *     diag_expected(diags, "a voice, such as 'snare'");
 *     diag_nearest(diags, "snare");
 *
 * Follow-on errors are kept quiet by whoever makes them: a value that was reported is marked
 * unusable and not complained of again.
 */
#include "base/arena.h"
#include "diag/codes.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A stretch of a file. Lines and columns count from 1, columns in characters (code points). Nearly
   everything that is read carries one: it is packed. A file of 4 MiB has smaller columns. */
struct place {
    const char *file; /* the name to print; NULL: nowhere */
    uint32_t line;
    uint32_t column : 23;
    uint32_t length : 9; /* characters the caret underlines, at least 1; more than are ever shown
                            come to PLACE_LENGTH_MAX */
};

enum { PLACE_COLUMN_MAX = (1 << 23) - 1, PLACE_LENGTH_MAX = (1 << 9) - 1 };

/* A place at a column of at most PLACE_COLUMN_MAX. */
static inline struct place place_make(const char *file, uint32_t line, uint32_t column,
                                      uint32_t length)
{
    return (struct place){.file = file,
                          .line = line,
                          .column = column & PLACE_COLUMN_MAX,
                          .length = (length < PLACE_LENGTH_MAX ? length : PLACE_LENGTH_MAX) &
                                    PLACE_LENGTH_MAX};
}

/* The same place with another length. */
static inline struct place place_resized(struct place place, uint32_t length)
{
    return place_make(place.file, place.line, place.column, length);
}

enum diag_severity { DIAG_SEVERITY_ERROR, DIAG_SEVERITY_WARNING, DIAG_SEVERITY_NOTE };

enum diag_code {
#define DIAG_ENUM(name, word, severity, about) DIAG_##name,
    DIAG_CODES(DIAG_ENUM)
#undef DIAG_ENUM
        DIAG_CODE_COUNT
};

/* One finding. Texts live in the list's arena; those that do not apply are NULL. */
struct diag {
    enum diag_code code;
    enum diag_severity severity;
    struct place at;
    const char *message;  /* the problem in words: lower case, no full stop */
    const char *found;    /* what stands in the file */
    const char *expected; /* what could stand there */
    const char *nearest;  /* the nearest right name */
    struct place other;   /* a second place that matters, e.g. of the first of two equal keys */
    const char *other_message;
};

struct diags;

/* An empty list on the arena, which must outlive it. */
struct diags *diags_new(struct arena *arena);

/* Adds a finding (at least one character long) of the code's usual severity. After DIAGS_LIMIT
   findings of that severity in a file one `limit` note says so and the rest are only counted. */
void diag_add(struct diags *diags, enum diag_code code, struct place at, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

enum { DIAGS_LIMIT = 200 };

/* Whether the finding that was added last is in the list: false when it was only counted, and need
   not be told at length. */
bool diag_listed(const struct diags *diags);
/* Whether a finding of this file could still be listed, so that its text is worth making. */
bool diags_have_room(const struct diags *diags, const char *file);

/* Add to the finding that was added last. Texts are copied; NULL is allowed and does nothing. */
void diag_found(struct diags *diags, const char *text);
void diag_expected(struct diags *diags, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void diag_nearest(struct diags *diags, const char *name);
void diag_other(struct diags *diags, struct place at, const char *message);

/* The findings in the list, and one of them: index < diags_count(). */
size_t diags_count(const struct diags *diags);
const struct diag *diags_get(const struct diags *diags, size_t index);
/* Findings that are errors, those that were only counted included. */
size_t diags_errors(const struct diags *diags);

/* Orders the findings by file, line and column, those without a place last; equal places keep their
   order. Afterwards nothing can be added to the last finding. */
void diags_sort(struct diags *diags);

/* The code's word, its usual severity, what it is about. */
const char *diag_word(enum diag_code code);
enum diag_severity diag_usual_severity(enum diag_code code);
const char *diag_about(enum diag_code code);
/* The code with this word; false where there is none. */
bool diag_code_from_word(const char *word, enum diag_code *code);
const char *diag_severity_word(enum diag_severity severity);

/* What `check --explain` prints: paragraphs, a wrong lesson that gets this code and the right one.
   Both examples are NULL where the text of a lesson cannot show it (a file that is not readable, a
   font that is missing). */
struct diag_lesson {
    const char *text, *wrong, *right;
};
/* Never NULL. */
const struct diag_lesson *diag_explain(enum diag_code code);

/*
 * The name nearest to `wrong` among `count` names: fewest edits (insertions, deletions, changes,
 * swapped neighbours; capitals count as small letters), the earlier of equals; NULL where all are
 * further than a third of its letters (at least 2, and never all of them).
 */
const char *diag_nearest_name(const char *wrong, const char *const *names, size_t count);

/* A place `offset` characters further on the same line, `length` long. */
struct place place_at(struct place start, uint32_t offset, uint32_t length);

#endif
