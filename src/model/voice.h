#ifndef RATAMARK_MODEL_VOICE_H
#define RATAMARK_MODEL_VOICE_H
/* The instruments of the kit: their names, place on the staff, notehead, key and floor place. */
#include "diag/diag.h"
#include "model/glyph.h"

enum head {
    HEAD_ROUND,
    HEAD_X,
    HEAD_DIAMOND,
    HEAD_SLASHED,
    HEAD_CIRCLE_X,
    HEAD_TRIANGLE,
    HEAD_SQUARE,
    HEAD_PLUS,
    HEAD_KINDS
};

/* Who plays it when nothing else is said. */
enum player { PLAYER_HANDS, PLAYER_RIGHT_FOOT, PLAYER_LEFT_FOOT };

/* What a voice itself brings to each of its notes. */
enum voice_sign { VOICE_SIGN_NONE, VOICE_SIGN_OPEN, VOICE_SIGN_HALF_OPEN, VOICE_SIGN_CLOSED };

struct voice {
    const char *name;   /* "snare" */
    const char *spoken; /* for the drum key: "snare", "hi-hat foot" */
    int16_t line2;      /* twice the staff place: 2 = bottom line, 3 = the space above it */
    enum head head;
    enum voice_sign sign;
    enum player player;
    uint8_t midi;             /* General MIDI percussion key */
    int16_t x_cm, y_cm, z_cm; /* strike point of a right-handed kit, from the centre of the snare
                                 head: to the right, away from the drummer, up */
    uint16_t size;            /* diameter in tenths of an inch; of a pedal its width */
    uint8_t share;            /* of the diameter that is struck, in percent */
    struct place at;          /* own voices: where it was defined */
};

typedef uint16_t voice_id; /* index into a voice table; built-in ones come first */
enum { VOICE_NONE = 0xFFFF };

/* The built-in voices in the order of their numbers. */
enum voice_builtin {
    VOICE_SNARE,
    VOICE_CROSS_STICK,
    VOICE_RIM_SHOT,
    VOICE_HI_HAT,
    VOICE_OPEN_HI_HAT,
    VOICE_HALF_OPEN_HI_HAT,
    VOICE_CLOSED_HI_HAT,
    VOICE_HI_HAT_FOOT,
    VOICE_FOOT_SPLASH,
    VOICE_RIDE,
    VOICE_RIDE_BELL,
    VOICE_CRASH,
    VOICE_SECOND_CRASH,
    VOICE_SPLASH,
    VOICE_CHINA,
    VOICE_HIGH_TOM,
    VOICE_MID_TOM,
    VOICE_FLOOR_TOM,
    VOICE_SECOND_FLOOR_TOM,
    VOICE_BASS_DRUM,
    VOICE_SECOND_BASS_DRUM,
    VOICE_COWBELL,
    VOICE_WOODBLOCK,
    VOICE_TAMBOURINE,
    VOICE_PRACTICE_PAD,
    VOICE_STICK_CLICK,
    VOICE_BUILTIN_COUNT
};

const struct voice *voice_builtin(enum voice_builtin which);

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
    bool left_handed; /* the whole kit stands mirrored; places are told as if it did not */
    bool hats_held;   /* a clutch keeps the hats closed while the foot is elsewhere */
};

/* The head with this plain word ("round", "x", "diamond", ...) or SMuFL notehead name. */
bool head_from_word(const char *word, enum head *head);
const char *head_word(enum head head);
/* The standard's glyph for the head at a note value (0 whole, 1 half, 2 quarter and shorter). */
enum glyph head_glyph(enum head head, int value_log2);

#endif
