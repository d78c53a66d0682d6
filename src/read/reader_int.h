#ifndef RATAMARK_READ_READER_INT_H
#define RATAMARK_READ_READER_INT_H
/* The state of reading one file, which all files of this folder share. */
#include "base/vector.h"
#include "diag/diag.h"
#include "model/lesson.h"
#include "read/names.h"
#include "read/read.h"
#include "read/source.h"
#include "read/yaml_slip.h"

struct reader {
    struct arena *arena;   /* the lesson's */
    struct arena *scratch; /* emptied after each bar and each exercise */
    struct arena *nodes;   /* the YAML tree, freed at the end */
    struct diags *diags;
    struct source source;
    const struct course_context *course; /* NULL: none */
    struct names *levels;                /* a course's own -> number in level_limits */
    VECTOR(struct limits *) level_limits;
    struct kit *kit;               /* the voices known so far */
    size_t voice_room, short_room; /* of the kit's arrays */
    struct names keys;             /* of the longest table -> row; read_keys() needs it */
    struct names voices;           /* full and short names -> voice_id */
    struct names patterns;         /* -> number in pattern_lines */
    VECTOR(struct stroke_line *) pattern_lines;
    VECTOR(struct turned_text) turned; /* of a lesson */
    struct names exercise_ids;         /* of the exercises read so far -> index */
    size_t items;                      /* strokes, notes and voice words so far */
    size_t bars;                       /* bars so far */
    bool items_over, bars_over;
    is_key_word *is_key; /* for guesses at what a mistake was meant to be */
    bool cut_short;      /* a YAML error ended the file: what is missing may have come after it */
};

/* "right, left or none", in the scratch arena. */
const char *joined_words(struct reader *reader, const char *const *words, size_t count);

/* Adds to a count of strokes or bars that must stay within `most`. Past it, returns false; the
   first time, sets *over and reports "more than MOST NOUN". */
bool reader_count(struct reader *reader, size_t *count, bool *over, size_t more, size_t most,
                  const char *noun, struct place at);

/* Counts strokes, notes and voice words; false beyond LESSON_STROKES_MAX. */
bool reader_count_items(struct reader *reader, size_t more, struct place at);

/* Arguments for "%.*s%s": the author's own text, cut if it is long. */
enum { QUOTED_MAX = 60 };
#define QUOTED(bytes, length)                                                                      \
    quoted_length(bytes, length), (bytes), (length) > QUOTED_MAX ? "..." : ""
int quoted_length(const char *bytes, size_t length);

/* Reports a name that does not exist. Returns a copy of it for diag_nearest_name(), or NULL if the
   list of findings is full. */
const char *report_unknown(struct reader *reader, enum diag_code code, struct place at,
                           const char *message, const char *name, size_t length);

/* ---- the little languages; NULL or false after a reported error ------------------------------ */

struct stroke_line *read_strokes(struct reader *reader, const struct text *text);
struct rhythm_line *read_rhythm(struct reader *reader, const struct text *text);
/* A rhythm line whose notes may have accents: 4> 8^ */
struct rhythm_line *read_figures(struct reader *reader, const struct text *text);
bool read_address_text(struct reader *reader, const struct text *text, struct address_list *list);
/* The same, but a number alone is a bar: its first beat. */
bool read_bar_text(struct reader *reader, const struct text *text, struct address_list *list);
/* One voicing of `play` or `at`: voices and marks as words; `rest` only if it is allowed. */
bool read_voicing(struct reader *reader, const struct text *text, bool rest_allowed,
                  struct voicing *voicing);
/* A `voices` line. */
struct voicing_line *read_voices(struct reader *reader, const struct text *text);

/* The voice with this name; false, and reported, if there is none. */
bool find_voice(struct reader *reader, const char *name, size_t length, struct place at,
                voice_id *voice);

/* What a letter or sign is in a stroke line. */
enum stroke_sign {
    STROKE_STRANGER,
    STROKE_BLANK,
    STROKE_LETTER,
    STROKE_GRACE,
    STROKE_MARK,
    STROKE_BRACKET,
    STROKE_BOUNDARY
};
enum stroke_sign stroke_sign(char byte);
/* Whether the text is meant as a stroke line rather than a name: it has no small letters but those
   of strokes, and no more other capitals than strokes. */
bool looks_like_strokes(const char *text, size_t length);

/* Adds what a word such as `accent` or `flam` asks for. False if the word is not one of those. */
bool voicing_add_word(const char *word, size_t length, struct voicing *voicing);
/* The voice that a word makes with the one in front of it and a hyphen: `ride bell`. NULL if there
   is none. */
const char *voicing_hyphened(struct reader *reader, const char *bytes, size_t start, size_t length);
/* All words of that kind that a voice can have: "flam, drag ... or ring". */
const char *voicing_mark_words(struct reader *reader);
/* Whether a word is a slip for one of that kind rather than for a voice. */
bool is_misspelt_mark(struct reader *reader, const char *word);
/* Completes the last finding with the word of that kind that a wrong one is a slip for. False if a
   voice is nearer, or nothing is near. */
bool voicing_suggest_mark(struct reader *reader, const char *bytes, size_t length);

#endif
