#ifndef RATAMARK_READ_SOURCE_H
#define RATAMARK_READ_SOURCE_H
/*
 * The bytes of a file, and the way back from a value to its places in them.
 *
 * A scalar's text is not always what stands in the file: it may run over several lines, be quoted,
 * folded or escaped. Blanks aside, though, its characters come in the file's order; so a place is
 * found by walking both side by side. A text_cursor remembers where it is: asking for places from
 * left to right costs one walk in all.
 */
#include "base/utf8.h"
#include "base/vector.h"
#include "diag/diag.h"

struct source {
    const char *name;
    const char *bytes; /* valid UTF-8, without a byte order mark */
    size_t length;
    VECTOR(uint32_t) line_starts; /* byte offsets, as source_check() finds them */
};

enum text_style { TEXT_PLAIN, TEXT_SINGLE_QUOTED, TEXT_DOUBLE_QUOTED, TEXT_BLOCK };

/* A value's text, NUL-ended, and where it stands. */
struct text {
    const char *bytes;
    size_t length;
    struct place at;             /* of the value; the opening quote or block sign included */
    bool direct;                 /* on one line, one byte a column: bytes[i] is at column + i */
    enum text_style style;       /* for the others: how to walk */
    const struct source *source; /* NULL where direct */
};

struct text_cursor {
    const struct text *text;
    uint32_t line, column;
    /* for text that is not direct, once it has started: */
    uint32_t offset; /* bytes of the text behind it */
    uint32_t source_offset;
    bool started;
};

/* Text on one line, as it is written in the file from `at` on. */
struct text text_direct(const char *bytes, struct place at);

static inline struct text_cursor text_cursor(const struct text *text)
{
    bool quoted = text->direct && text->style != TEXT_PLAIN;
    return (struct text_cursor){
        .text = text, .line = text->at.line, .column = (uint32_t)text->at.column + quoted};
}

/* text_place() of a text that is not direct. */
struct place text_place_walked(struct text_cursor *cursor, size_t offset, uint32_t length);

/* The place of text byte `offset`, `length` characters long, at least one. Offsets should not fall
   from call to call: going back walks again from the start. */
static inline struct place text_place(struct text_cursor *cursor, size_t offset, uint32_t length)
{
    if (!cursor->text->direct)
        return text_place_walked(cursor, offset, length);
    return place_make(cursor->text->at.file, cursor->line, cursor->column + (uint32_t)offset,
                      length ? length : 1);
}

/* The place of `length` bytes of text. */
static inline struct place text_stretch(struct text_cursor *cursor, size_t offset, size_t length)
{
    const struct text *text = cursor->text;
    return text_place(cursor, offset,
                      (uint32_t)(text->direct ? length : utf8_count(text->bytes + offset, length)));
}

/* Why no text of a lesson can hold this character; NULL if one can. Editors do not show YAML's
   further line separators as line ends. */
const char *refused_character(uint32_t code);

/*
 * Finds the lines of a source. Reports bytes that are not UTF-8 text fit for a lesson (stray bytes,
 * control characters, a byte order mark inside, line separators that are no line ends, text as
 * UTF-16) and tabs. False where the text cannot be parsed. Where tabs stand between words only, the
 * source goes on as a copy in the arena, with spaces in their place.
 */
bool source_check(struct source *source, struct arena *arena, struct diags *diags);

#endif
