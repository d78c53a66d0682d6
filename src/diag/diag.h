#ifndef RATAMARK_DIAG_DIAG_H
#define RATAMARK_DIAG_DIAG_H
/*
 * What is wrong with a lesson, and where: places in a file and a list of findings. Stages add to
 * the list and go on; only the command line prints it.
 *
 *     diag_add(diags, DIAG_UNKNOWN_VOICE, word.at, "there is no voice called '%s'", word.text);
 *     diag_expected(diags, "a voice, such as 'snare'");
 *     diag_nearest(diags, "snare");
 *
 * One mistake is reported once: a stage marks a value that it reported as unusable, and later
 * stages leave it alone.
 */
#include "base/arena.h"
#include "diag/codes.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A stretch of a file. Lines and columns count from 1, columns in characters (code points). Packed,
   because nearly everything that is read has one; columns fit, because a file has at most 4 MiB. */
struct place {
    const char *file; /* the name to print; NULL: no place */
    uint32_t line;
    uint32_t column : 23;
    uint32_t length : 9; /* characters to underline: 1 to PLACE_LENGTH_MAX, more than are ever
                            shown */
};

enum { PLACE_COLUMN_MAX = (1 << 23) - 1, PLACE_LENGTH_MAX = (1 << 9) - 1 };

/* `column` is at most PLACE_COLUMN_MAX; a longer `length` becomes PLACE_LENGTH_MAX. */
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

/* Whether both begin at the same byte; two unknown places compare equal. */
static inline bool place_same(struct place a, struct place b)
{
    return a.line == b.line && a.column == b.column && a.file == b.file;
}

enum diag_severity { DIAG_SEVERITY_ERROR, DIAG_SEVERITY_WARNING, DIAG_SEVERITY_NOTE };

enum diag_code {
#define DIAG_ENUM(name, word, severity, about) DIAG_##name,
    DIAG_CODES(DIAG_ENUM)
#undef DIAG_ENUM
        DIAG_CODE_COUNT
};

/* One finding. Its texts live in the list's arena; NULL: does not apply. */
struct diag {
    enum diag_code code;
    enum diag_severity severity;
    struct place at;
    const char *message;  /* the problem: lower case, no full stop */
    const char *found;    /* what the file has there */
    const char *expected; /* what to write instead */
    const char *nearest;  /* "did you mean": the nearest name that exists */
    bool sure;            /* no other name is near: it can be put in place of `found` */
    struct place other;   /* a second place that matters, such as the first of two equal keys */
    const char *other_message;
};

struct diags;

/* An empty list on the arena, which must outlive it. */
struct diags *diags_new(struct arena *arena);

/* Adds a finding with the code's usual severity. After DIAGS_LIMIT findings of one severity in a
   file, a `limit` note is added and the rest are only counted. */
void diag_add(struct diags *diags, enum diag_code code, struct place at, const char *format, ...)
    __attribute__((cold, format(printf, 4, 5)));

enum { DIAGS_LIMIT = 200 };

/* Whether the finding that was added last is in the list: false if it was only counted, so that
   further texts for it would be wasted. */
bool diag_listed(const struct diags *diags);

/* These complete the finding that was added last. Texts are copied; NULL does nothing. Where what
   was found has a curly quote, a dash or a non-breaking space, what is expected names it. */
void diag_found(struct diags *diags, const char *text);
void diag_expected(struct diags *diags, const char *format, ...)
    __attribute__((cold, format(printf, 2, 3)));
void diag_nearest(struct diags *diags, const char *name);
/* The nearest of these names; sure where `found` is a slip for one of them alone. */
void diag_nearest_of(struct diags *diags, const char *wrong, const char *const *names,
                     size_t count);
void diag_other(struct diags *diags, struct place at, const char *message);

/* How many findings are in the list, and one of them: index < diags_count(). */
size_t diags_count(const struct diags *diags);
const struct diag *diags_get(const struct diags *diags, size_t index);
/* How many errors there are, including those that were only counted. */
size_t diags_errors(const struct diags *diags);

/* Sorts by file, line and column; findings without a place come last, and equal places keep their
   order. After this, a new finding must be added before anything can complete it. */
void diags_sort(struct diags *diags);

/* What to make of warnings. */
struct strictness {
    bool strict;      /* a warning is an error */
    uint64_t allowed; /* bit of a code: its warnings are only notes */
};
_Static_assert(DIAG_CODE_COUNT <= 64, "a bit for each code");

void diags_regrade(struct diags *diags, struct strictness strictness);

/* The columns of codes.h. */
const char *diag_word(enum diag_code code);
enum diag_severity diag_usual_severity(enum diag_code code);
const char *diag_about(enum diag_code code);
/* False if no code has this word. */
bool diag_code_from_word(const char *word, enum diag_code *code);
const char *diag_severity_word(enum diag_severity severity);

/* What `check --explain` prints, from explanations.txt: paragraphs, a wrong lesson that gets this
   code, and its correction. The lessons are NULL if no lesson can show it, as with a missing
   font. */
struct diag_lesson {
    const char *text, *wrong, *right;
};
/* By code. */
extern const struct diag_lesson diag_lessons[DIAG_CODE_COUNT];

/*
 * The name nearest to `wrong`, ignoring case: the one with the fewest edits (a letter added, left
 * out or changed, or two neighbours swapped), the first of several. NULL if that takes more edits
 * than a third of the letters, though two are always allowed, or changes every letter.
 */
const char *diag_nearest_name(const char *wrong, const char *const *names, size_t count);

/* The place `offset` characters further on the same line. */
struct place place_at(struct place start, uint32_t offset, uint32_t length);

#endif
