#ifndef RATAMARK_READ_SOURCE_H
#define RATAMARK_READ_SOURCE_H
/*
 * The bytes of a file, and the places of a value's characters in them.
 *
 * The text of a value can differ from what the file has: it can be quoted, escaped, or run over
 * several lines. But apart from blanks its characters come in the same order. So a place is found
 * by walking through both side by side. A text_cursor remembers how far it has come: all places of
 * a text, asked for from left to right, cost one walk.
 */
#include "base/utf8.h"
#include "base/vector.h"
#include "diag/diag.h"

struct source {
    const char *name;
    const char *bytes; /* valid UTF-8, without a byte order mark */
    size_t length;
    /* found by source_check(): */
    VECTOR(uint32_t) line_starts; /* byte offsets */
    VECTOR(uint32_t) sign_lines;  /* numbers, from 1, of the lines with a # */
};

enum text_style { TEXT_PLAIN, TEXT_SINGLE_QUOTED, TEXT_DOUBLE_QUOTED, TEXT_BLOCK };

/* The text of a value, which ends in a '\0', and its place in the file. */
struct text {
    const char *bytes;
    size_t length;
    struct place at;             /* of the value, including an opening quote or block sign */
    bool direct;                 /* on one line, one byte per column: bytes[i] is at column + i */
    enum text_style style;       /* how to walk through a text that is not direct */
    const struct source *source; /* NULL if direct */
};

/* Whether the text is this word. */
static inline bool text_is(const struct text *text, const char *word)
{
    size_t length = strlen(word);
    return text->length == length && memcmp(text->bytes, word, length) == 0;
}

struct text_cursor {
    const struct text *text;
    uint32_t line, column;
    /* for a text that is not direct, once the walk has started: */
    uint32_t offset; /* in the text */
    uint32_t source_offset;
    bool started;
};

/* Text on one line, as it is written in the file from `at` on. */
struct text text_direct(const char *bytes, struct place at);

/* A cursor at the start of a text. */
#define TEXT_CURSOR(text_)                                                                         \
    {                                                                                              \
        .text = (text_), .line = (text_)->at.line, .column = text_first_column(text_)              \
    }

static inline uint32_t text_first_column(const struct text *text)
{
    bool quoted = text->direct && text->style != TEXT_PLAIN;
    return (uint32_t)text->at.column + quoted;
}

static inline struct text_cursor text_cursor(const struct text *text)
{
    return (struct text_cursor)TEXT_CURSOR(text);
}

/* text_place() for a text that is not direct. */
struct place text_place_walked(struct text_cursor *cursor, size_t offset, uint32_t length);

/* The place of the text's byte `offset`, `length` characters long (0 counts as 1). Ask from left to
   right: an earlier offset starts the walk again. */
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

/* Whether the line with this number, from 1, has a #. Quicker than to look at the line, which is
   mostly not in the cache any more. */
bool source_has_sign(const struct source *source, uint32_t line);

/*
 * Finds the lines of a source. Reports tabs, bytes that are not UTF-8, and characters that no text
 * of a lesson can hold. False if the text cannot be parsed. If it only has tabs between words, they
 * become spaces, in a copy on the arena, so that the rest can be checked.
 */
bool source_check(struct source *source, struct arena *arena, struct diags *diags);

#endif
