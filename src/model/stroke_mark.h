#ifndef RATAMARK_MODEL_STROKE_MARK_H
#define RATAMARK_MODEL_STROKE_MARK_H
/*
 * The marks of a stroke, one row each. Reading, speaking, the grid, sound, playability and the page
 * all take what they know of a mark from its row. The columns:
 *
 *     id        MARK_id names the mark in code
 *     sign      what follows the letter in a stroke line; 0: nothing
 *     times     how often the sign is written: once; twice or three times for further marks; 0
 *               without a sign
 *     word      in `at`, `play` and `voices`; "": no word asks for it
 *     named     in messages: "an accent"
 *     spoken    in a lesson read aloud
 *     strokes   how many strokes it makes in the note's time; 0: as many bounces as fit
 *     level     how much louder than a plain stroke, in tenths of a decibel (our own)
 *     place     where the page shows it: MARK_AT_place
 *     above, below  its glyph there, of notes with stems up, and down; NONE where the place needs
 *                   no glyph
 *     grid      where the terminal's grid shows it: on the voice's own ROW, or behind the LETTER
 *     cell      how
 *     excludes  what cannot be on one stroke with it; one of the two rows is enough
 *
 * The reading names marks in the order of the rows. DEVELOPERS.md, "a stroke mark", walks through
 * adding one.
 */
#include "model/glyph.h"

#include <stdbool.h>

/* clang-format off */
/*    id             sign times  word             named              spoken
      strokes level  place   above                below               grid    cell       excludes */
#define STROKE_MARKS(X) \
    X(SLASH_1,       '/', 1,     "diddle",        "a diddle",        "diddle", \
      2,      0,     STEM,   STEM_SLASH_1,        STEM_SLASH_1,       LETTER, "/",       MARKS_ON_STEM) \
    X(SLASH_2,       '/', 2,     "",              "a roll of four",  "roll of four", \
      4,      0,     STEM,   STEM_SLASH_2,        STEM_SLASH_2,       LETTER, "//",      MARKS_ON_STEM) \
    X(SLASH_3,       '/', 3,     "roll",          "a roll of eight", "roll of eight", \
      8,      0,     STEM,   STEM_SLASH_3,        STEM_SLASH_3,       LETTER, "///",     MARKS_ON_STEM) \
    X(BUZZ,          'z', 1,     "buzz",          "a buzz",          "buzz", \
      0,      0,     STEM,   BUZZ,                BUZZ,               LETTER, "z",       MARKS_ON_STEM) \
    X(OPEN,          0,   0,     "open",          "an open hat",     "open", \
      1,      0,     SIGN,   OPEN,                OPEN,               LETTER, "o",       MARKS_OF_HATS) \
    X(HALF_OPEN,     0,   0,     "half-open",     "a half-open hat", "half open", \
      1,      0,     SIGN,   HALF_OPEN,           HALF_OPEN,          LETTER, "h",       MARKS_OF_HATS) \
    X(CLOSED,        0,   0,     "closed",        "a closed hat",    "closed", \
      1,      0,     SIGN,   CLOSED,              CLOSED,             LETTER, "c",       MARKS_OF_HATS) \
    X(ACCENT,        '>', 1,     "accent",        "an accent",       "accent", \
      1,      60,    ACCENT, ACCENT_ABOVE,        ACCENT_BELOW,       ROW,    "\u25B2",  MARKS_LOUD) \
    X(STRONG_ACCENT, '^', 1,     "strong-accent", "a strong accent", "strong accent", \
      1,      90,    ACCENT, STRONG_ACCENT_ABOVE, STRONG_ACCENT_BELOW, ROW,   "\u25C6",  MARKS_LOUD) \
    X(GHOST,         0,   0,     "ghost",         "a ghost",         "ghost", \
      1,      -120,  HEAD,   NONE,                NONE,               ROW,    "\u25CB",  MARKS_LOUD) \
    X(RING,          '+', 1,     "",              "a roll's tie",    "tied over", \
      1,      0,     TIE,    NONE,                NONE,               LETTER, "+",       MARK_NONE) \
    X(LET_RING,      0,   0,     "ring",          "let ring",        "let ring", \
      1,      0,     TIE,    NONE,                NONE,               LETTER, "~",       MARK_RING | MARK_CLOSED)
/* clang-format on */

enum mark_index {
#define MARK_INDEX(id, ...) MARK_INDEX_##id,
    STROKE_MARKS(MARK_INDEX)
#undef MARK_INDEX
        MARK_COUNT
};

/* A set of marks, as bits. */
typedef uint16_t mark_set;
_Static_assert(MARK_COUNT <= 16, "a mark_set has a bit for every mark");

enum stroke_mark_bit {
    MARK_NONE,
#define MARK_BIT(id, ...) MARK_##id = 1 << MARK_INDEX_##id,
    STROKE_MARKS(MARK_BIT)
#undef MARK_BIT
};

/* ROW, LETTER and the places: */
enum mark_cell { MARK_CELL_ROW, MARK_CELL_LETTER };
enum mark_place {
    MARK_AT_HEAD,   /* in parentheses around each head: a ghost is a matter of each hit */
    MARK_AT_STEM,   /* across the stem */
    MARK_AT_ACCENT, /* at the stem's end of the note, in the row of accents */
    MARK_AT_SIGN,   /* outside the accents, in a row of its own */
    MARK_AT_TIE     /* a tie to the note that follows, or a short one into nothing */
};

/* Sets that the rows give. */
enum {
    MARKS_ALL = (1 << MARK_COUNT) - 1,
    MARKS_OF_HATS = MARK_OPEN | MARK_HALF_OPEN | MARK_CLOSED,
/* What a stroke line can say: brackets stand for ghosts. */
#define MARK_SET(id, sign, ...) | ((sign) ? MARK_##id : 0)
    MARKS_IN_STROKES = MARK_GHOST STROKE_MARKS(MARK_SET),
#undef MARK_SET
/* What a word of `at`, `play` and `voices` can say. */
#define MARK_SET(id, sign, times, word, ...) | (sizeof(word) > 1 ? MARK_##id : 0)
    MARKS_IN_WORDS = 0 STROKE_MARKS(MARK_SET),
#undef MARK_SET
#define MARK_SET(id, sign, times, word, named, spoken, strokes, level, ...)                        \
    | ((level) > 0 ? MARK_##id : 0)
    MARKS_LOUD = 0 STROKE_MARKS(MARK_SET),
#undef MARK_SET
/* Marks that divide the note's time among several strokes. */
#define MARK_SET(id, sign, times, word, named, spoken, strokes, ...)                               \
    | ((strokes) > 1 ? MARK_##id : 0)
    MARKS_DIVIDING = 0 STROKE_MARKS(MARK_SET),
#undef MARK_SET
#define MARK_SET(id, sign, times, word, named, spoken, strokes, level, place, ...)                 \
    | (MARK_AT_##place == MARK_AT_STEM ? MARK_##id : 0)
    MARKS_ON_STEM = 0 STROKE_MARKS(MARK_SET),
#undef MARK_SET
#define MARK_SET(id, sign, times, word, named, spoken, strokes, level, place, ...)                 \
    | (MARK_AT_##place == MARK_AT_SIGN ? MARK_##id : 0)
    MARKS_AT_SIGN = 0 STROKE_MARKS(MARK_SET)
#undef MARK_SET
};

struct stroke_mark {
    const char *word, *named, *spoken, *cell;
    mark_set bit, excludes;
    int16_t level;
    uint16_t glyphs[2]; /* enum glyph: of notes with stems down (column below), up (above) */
    uint8_t place;      /* enum mark_place */
    uint8_t grid;       /* enum mark_cell */
    uint8_t strokes;
    uint8_t times;
    char sign;
};

extern const struct stroke_mark stroke_marks[MARK_COUNT];

static inline mark_set marks_without(mark_set marks, mark_set gone)
{
    return (mark_set)(marks & ~gone);
}

/* The marks that exclude any of these on one stroke. */
mark_set marks_against(mark_set marks);
/* Both sets; of marks that exclude each other, the nearer ones stay. */
static inline mark_set marks_over(mark_set nearer, mark_set general)
{
    return general ? nearer | marks_without(general, marks_against(nearer)) : nearer;
}
/* False if all of these can be on one stroke; otherwise names two that cannot: "an accent and a
   ghost on one stroke". */
enum { MARKS_CONFLICT_ROOM = 80 };
bool marks_conflict(mark_set marks, char text[MARKS_CONFLICT_ROOM]);

/* How many strokes they make in the note's time; 0: as many bounces as fit. */
int marks_strokes(mark_set marks);
/* How much louder than a plain stroke they make it, in tenths of a decibel. */
int marks_level(mark_set marks);
/* What the page shows of them at a place; GLYPH_NONE: nothing. */
enum glyph marks_glyph(mark_set marks, enum mark_place place, bool stem_up);

#endif
