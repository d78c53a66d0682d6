#ifndef RATAMARK_MODEL_VOICE_H
#define RATAMARK_MODEL_VOICE_H
/*
 * The instruments of the kit, one row each: DEVELOPERS.md, "a voice", walks through adding one.
 *
 *     name         in a lesson
 *     spoken       in the drum key and in a lesson read aloud
 *     line2        twice the staff place: 2 is the bottom line, 3 the space above it
 *     head         its notehead: HEAD_head
 *     sign         the mark that it brings to each of its notes: MARK_sign, NONE for most
 *     player       who plays it when the lesson does not say
 *     midi         General MIDI percussion key
 *     x, y, z      strike point in cm, from the centre of the snare head: to the right, away from
 *                  the drummer, up
 *     size         diameter in tenths of an inch; of a pedal its width
 *     share        how much of the diameter is struck, in percent
 *
 * Staff places: the voices of the house's page design; the others beside them so that no two share
 * both place and head, except that the practice pad stands for the snare (N. Weinberg's
 * drumset-notation guide, Percussive Arts Society 1998, from memory). Keys: General MIDI level 1
 * percussion (35-81); `stick-click` is General MIDI 2's "Sticks" (31); a half-open hat and a foot
 * splash sound the open hat (common practice). Strike points of a right-handed kit: those of the
 * drums and main cymbals keep rims clear of each other, the others and the pedals stand where a
 * drummer would look for them (our own figures; a kit may change them). Diameters are those of the
 * usual five-piece kit, cymbals and percussion by common practice. 0.8 of the diameter of drums,
 * hats and ride is struck, all of a crash's (our own: a drummer lands on a disc of 25 to 45 cm).
 */
#include "diag/diag.h"
#include "model/stroke_mark.h"

/* The hats stand together: a mark of hats chooses among them. */
/* clang-format off */
/*      id                name                spoken           line2 head      sign
        player      midi    x    y    z  size  share */
#define VOICES(ROW) \
    ROW(SNARE,            "snare",            "snare",                7, ROUND,    NONE, \
        HANDS,        38,   0,   0,   0,  140,    80) \
    ROW(CROSS_STICK,      "cross-stick",      "cross-stick",          7, X,        NONE, \
        HANDS,        37,   0,   0,   0,  140,    80) \
    ROW(RIM_SHOT,         "rim-shot",         "rim shot",             7, SLASHED,  NONE, \
        HANDS,        40,   0,   0,   0,  140,    80) \
    ROW(HI_HAT,           "hi-hat",           "hi-hat",              11, X,        NONE, \
        HANDS,        42, -35,  20,  20,  140,    80) \
    ROW(OPEN_HI_HAT,      "open-hi-hat",      "open hi-hat",         11, X,        OPEN, \
        HANDS,        46, -35,  20,  20,  140,    80) \
    ROW(HALF_OPEN_HI_HAT, "half-open-hi-hat", "half-open hi-hat",    11, X,        HALF_OPEN, \
        HANDS,        46, -35,  20,  20,  140,    80) \
    ROW(CLOSED_HI_HAT,    "closed-hi-hat",    "closed hi-hat",       11, X,        CLOSED, \
        HANDS,        42, -35,  20,  20,  140,    80) \
    ROW(HI_HAT_FOOT,      "hi-hat-foot",      "hi-hat foot",          1, X,        NONE, \
        LEFT_FOOT,    44, -35,  20, -60,   40,    90) \
    ROW(FOOT_SPLASH,      "foot-splash",      "foot splash",          1, CIRCLE_X, NONE, \
        LEFT_FOOT,    46, -35,  20, -60,   40,    90) \
    ROW(RIDE,             "ride",             "ride",                10, X,        NONE, \
        HANDS,        51,  62,  34,  25,  200,    80) \
    ROW(RIDE_BELL,        "ride-bell",        "ride bell",           10, DIAMOND,  NONE, \
        HANDS,        53,  62,  34,  25,   50,    50) \
    ROW(CRASH,            "crash",            "crash",               12, X,        NONE, \
        HANDS,        49, -25,  52,  45,  160,    100) \
    ROW(SECOND_CRASH,     "second-crash",     "second crash",        13, X,        NONE, \
        HANDS,        57,  62,  62,  45,  180,    100) \
    ROW(SPLASH,           "splash",           "splash",              12, DIAMOND,  NONE, \
        HANDS,        55,  15,  58,  42,  100,    100) \
    ROW(CHINA,            "china",            "china",               12, CIRCLE_X, NONE, \
        HANDS,        52,  88,  48,  45,  180,    100) \
    ROW(HIGH_TOM,         "high-tom",         "high tom",             9, ROUND,    NONE, \
        HANDS,        50,   3,  40,  15,  100,    80) \
    ROW(MID_TOM,          "mid-tom",          "mid tom",              8, ROUND,    NONE, \
        HANDS,        47,  36,  40,  15,  120,    80) \
    ROW(FLOOR_TOM,        "floor-tom",        "floor tom",            5, ROUND,    NONE, \
        HANDS,        43,  55,  -2,   0,  160,    80) \
    ROW(SECOND_FLOOR_TOM, "second-floor-tom", "second floor tom",     4, ROUND,    NONE, \
        HANDS,        41,  78, -32,   0,  180,    80) \
    ROW(BASS_DRUM,        "bass-drum",        "bass drum",            3, ROUND,    NONE, \
        RIGHT_FOOT,   36,  18,  22, -60,   40,    90) \
    ROW(SECOND_BASS_DRUM, "second-bass-drum", "second bass drum",     2, ROUND,    NONE, \
        LEFT_FOOT,    35, -13,  20, -60,   40,    90) \
    ROW(COWBELL,          "cowbell",          "cowbell",              9, TRIANGLE, NONE, \
        HANDS,        56,  20,  48,  25,   60,    60) \
    ROW(WOODBLOCK,        "woodblock",        "woodblock",            9, SQUARE,   NONE, \
        HANDS,        76,   8,  52,  25,   70,    40) \
    ROW(TAMBOURINE,       "tambourine",       "tambourine",           8, TRIANGLE, NONE, \
        HANDS,        54, -48,  40,  25,  100,    60) \
    ROW(PRACTICE_PAD,     "practice-pad",     "practice pad",         7, ROUND,    NONE, \
        HANDS,        38,   0,   0,   0,   80,    80) \
    ROW(STICK_CLICK,      "stick-click",      "stick click",          7, PLUS,     NONE, \
        HANDS,        31,   0,   0,   0,  140,    80)

/*      id        word        whole                half                shorter */
#define HEADS(ROW) \
    ROW(ROUND,    "round",    HEAD_WHOLE,          HEAD_HALF,          HEAD_BLACK) \
    ROW(X,        "x",        HEAD_X_WHOLE,        HEAD_X_HALF,        HEAD_X_BLACK) \
    ROW(DIAMOND,  "diamond",  HEAD_DIAMOND_WHOLE,  HEAD_DIAMOND_HALF,  HEAD_DIAMOND_BLACK) \
    ROW(SLASHED,  "slashed",  HEAD_SLASHED_WHOLE,  HEAD_SLASHED_HALF,  HEAD_SLASHED_BLACK) \
    ROW(CIRCLE_X, "circle-x", HEAD_CIRCLE_X_WHOLE, HEAD_CIRCLE_X_HALF, HEAD_CIRCLE_X) \
    ROW(TRIANGLE, "triangle", HEAD_TRIANGLE_WHOLE, HEAD_TRIANGLE_HALF, HEAD_TRIANGLE_BLACK) \
    ROW(SQUARE,   "square",   HEAD_SQUARE_WHITE,   HEAD_SQUARE_WHITE,  HEAD_SQUARE_BLACK) \
    ROW(PLUS,     "plus",     HEAD_PLUS_WHOLE,     HEAD_PLUS_HALF,     HEAD_PLUS_BLACK)
/* clang-format on */

enum head {
#define HEAD_ENUM(id, ...) HEAD_##id,
    HEADS(HEAD_ENUM)
#undef HEAD_ENUM
        HEAD_KINDS
};

enum player { PLAYER_HANDS, PLAYER_RIGHT_FOOT, PLAYER_LEFT_FOOT };

struct voice {
    const char *name;
    const char *spoken; /* NULL for own voices: the name */
    int16_t line2;
    enum head head;
    enum player player;
    mark_set sign;
    uint8_t midi;
    int16_t x_cm, y_cm, z_cm;
    uint16_t size;
    uint8_t share;
    struct place at; /* own voices: where it was defined */
};

typedef uint16_t voice_id; /* index into a voice table; built-in ones come first */
enum { VOICE_NONE = 0xFFFF };

enum voice_builtin {
#define VOICE_ENUM(id, ...) VOICE_##id,
    VOICES(VOICE_ENUM)
#undef VOICE_ENUM
        VOICE_BUILTIN_COUNT
};

const struct voice *voice_builtin(enum voice_builtin which);

/* Whether it can be left to ring. Closed and pedal hats, a cross-stick, sticks and wood blocks are
   over at once: told by the General MIDI key, which a kit may change. */
bool voice_rings(const struct voice *voice);
/* How wide the surface is that is struck, in whole centimetres. */
int voice_width_cm(const struct voice *voice);

/* A lesson's voices: the built-in ones (perhaps altered) and its own; and its short names. */
struct voice_short {
    const char *name;
    voice_id voice;
};
struct kit {
    struct voice *voices;
    size_t voice_count;
    struct voice_short *shorts;
    size_t short_count;
    bool left_handed; /* the kit is mirrored; strike points are still a right-handed kit's */
    bool hats_held;   /* a clutch keeps the hats closed while the foot is elsewhere */
};

/* The head with this plain word ("round", "x", "diamond", ...) or SMuFL notehead name. */
bool head_from_word(const char *word, enum head *head);
const char *head_word(enum head head);
/* The standard's glyph for the head at a note value (0 whole, 1 half, 2 quarter and shorter). */
enum glyph head_glyph(enum head head, int value_log2);

#endif
