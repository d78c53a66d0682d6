#ifndef RATAMARK_READ_READ_INT_H
#define RATAMARK_READ_READ_INT_H
/* What the reader's own files share. */
#include "base/vector.h"
#include "diag/diag.h"
#include "model/lesson.h"
#include "read/names.h"
#include "read/read.h"
#include "read/source.h"

enum { KEYS_MAX = 64 }; /* of one table */

/* One reading of one file. */
struct reader {
    struct arena *arena;   /* the lesson's */
    struct arena *scratch; /* for what nobody keeps: forgotten after each bar and exercise */
    struct arena *nodes;   /* the YAML tree, forgotten in the end */
    char *text_free;       /* room for short texts */
    size_t text_room;
    struct diags *diags;
    struct source source;
    const struct course_context *course; /* NULL: none */
    struct names *levels;                /* of a course -> number in level_limits */
    VECTOR(struct limits *) level_limits;
    struct kit *kit;               /* the voices known so far */
    size_t voice_room, short_room; /* of the kit's arrays */
    struct names voices;           /* full and short names -> voice_id */
    struct names patterns;         /* names -> number in pattern_lines */
    VECTOR(struct stroke_line *) pattern_lines;
    /* Of the table that most maps are read by, once it is used: */
    uint8_t key_rows[UINT8_MAX + 1]; /* hash table of 1 + row; 0: a free slot */
    uint8_t key_lengths[KEYS_MAX];   /* by row */
    struct names exercise_ids;       /* ids of the exercises read so far -> index */
    size_t items;                    /* strokes, notes and voice words so far */
    size_t bars;                     /* bars so far */
    bool items_over, bars_over;
    bool cut_short; /* the YAML ends in an error: what is missing may follow it */
};

/* The items of a scratch vector, kept in the lesson's arena without spare room. */
void *reader_keep(struct reader *reader, const void *items, size_t count, size_t size);

/* Counts `more` strokes, notes or words against LESSON_STROKES_MAX. False beyond it, reported the
   first time. */
bool reader_count_items(struct reader *reader, size_t more, struct place at);

/* ---- the little languages; NULL or false after a reported error ------------------------------ */

struct stroke_line *read_strokes(struct reader *reader, const struct text *text);
struct rhythm_line *read_rhythm(struct reader *reader, const struct text *text);
bool read_address_text(struct reader *reader, const struct text *text, struct address_list *list);
/* One voicing of `play` or `at`: voices and marks as words; `rest` only where it is allowed. */
bool read_voicing(struct reader *reader, const struct text *text, bool rest_allowed,
                  struct voicing *voicing);
/* A `voices` line. */
struct voicing_line *read_voices(struct reader *reader, const struct text *text);

/* True where the text is meant as a stroke line: it has no small letters but those of strokes. */
bool looks_like_strokes(const char *text, size_t length);

/* The mark or other change that a word of `at` stands for: its bits added to the voicing. */
bool voicing_add_word(const char *word, size_t length, struct voicing *voicing);

/* ---- letters and numbers --------------------------------------------------------------------- */

static inline bool is_digit(char byte)
{
    return byte >= '0' && byte <= '9';
}

static inline bool is_space(char byte)
{
    return byte == ' ' || byte == '\n';
}

/* Reads a whole number of at most nine digits at text[*offset], moving behind it; false where no
   digit stands there or there are more. */
bool read_number(const char *text, size_t length, size_t *offset, uint32_t *number);

/* A text of digits alone, within [least, most]. */
bool text_is_number(const char *text, size_t length, uint32_t least, uint32_t most,
                    uint32_t *number);

/* Characters of a stretch of text, for a place's length. */
uint32_t characters(const char *bytes, size_t length);

/* Reports a stretch of text: "MESSAGE: 'STRETCH'", the stretch on one line and not too long. */
void report_stretch(struct reader *reader, enum diag_code code, struct place at, const char *bytes,
                    size_t length, const char *message, const char *expected);

#endif
