#include "model/voice.h"

#include <string.h>

/*
 * Staff places: the voices of the house's page design; the others beside them so that no two share
 * both place and head, the practice pad standing for the snare (N. Weinberg's drumset-notation
 * guide, Percussive Arts Society 1998, from memory). Keys: General MIDI level 1 percussion (35-81);
 * `stick-click` is General MIDI 2's "Sticks" (31); a half-open hat and a foot splash sound the open
 * hat, common practice. Floor places in cm: strike points of a right-handed kit from the centre of
 * the snare head; those of the drums and main cymbals keep rims clear of each other, the rest and
 * the pedals stand where a drummer would look for them (our own figures, a kit may change them).
 * Diameters are of the usual five-piece kit, cymbals and percussion common practice. What is struck
 * is 0.6 of a drum's diameter, 0.5 of the hats', 0.4 of a cymbal's (our own).
 */
static const struct voice voices[VOICE_BUILTIN_COUNT] = {
#define HANDS PLAYER_HANDS
#define VOICE(id, name_, spoken_, line2_, head_, sign_, player_, midi_, x, y, z, size_, share_)    \
    [VOICE_##id] = {.name = name_,                                                                 \
                    .spoken = spoken_,                                                             \
                    .line2 = line2_,                                                               \
                    .head = HEAD_##head_,                                                          \
                    .sign = VOICE_SIGN_##sign_,                                                    \
                    .player = player_,                                                             \
                    .midi = midi_,                                                                 \
                    .x_cm = x,                                                                     \
                    .y_cm = y,                                                                     \
                    .z_cm = z,                                                                     \
                    .size = size_,                                                                 \
                    .share = share_}
    VOICE(SNARE, "snare", "snare", 7, ROUND, NONE, HANDS, 38, 0, 0, 0, 140, 60),
    VOICE(CROSS_STICK, "cross-stick", "cross-stick", 7, X, NONE, HANDS, 37, 0, 0, 0, 140, 60),
    VOICE(RIM_SHOT, "rim-shot", "rim shot", 7, SLASHED, NONE, HANDS, 40, 0, 0, 0, 140, 60),
    VOICE(HI_HAT, "hi-hat", "hi-hat", 11, X, NONE, HANDS, 42, -35, 20, 20, 140, 50),
    VOICE(OPEN_HI_HAT, "open-hi-hat", "open hi-hat", 11, X, OPEN, HANDS, 46, -35, 20, 20, 140, 50),
    VOICE(HALF_OPEN_HI_HAT, "half-open-hi-hat", "half-open hi-hat", 11, X, HALF_OPEN, HANDS, 46,
          -35, 20, 20, 140, 50),
    VOICE(CLOSED_HI_HAT, "closed-hi-hat", "closed hi-hat", 11, X, CLOSED, HANDS, 42, -35, 20, 20,
          140, 50),
    VOICE(HI_HAT_FOOT, "hi-hat-foot", "hi-hat foot", 1, X, NONE, PLAYER_LEFT_FOOT, 44, -35, 20, -60,
          40, 90),
    VOICE(FOOT_SPLASH, "foot-splash", "foot splash", 1, CIRCLE_X, NONE, PLAYER_LEFT_FOOT, 46, -35,
          20, -60, 40, 90),
    VOICE(RIDE, "ride", "ride", 10, X, NONE, HANDS, 51, 62, 34, 25, 200, 40),
    VOICE(RIDE_BELL, "ride-bell", "ride bell", 10, DIAMOND, NONE, HANDS, 53, 62, 34, 25, 50, 50),
    VOICE(CRASH, "crash", "crash", 12, X, NONE, HANDS, 49, -25, 52, 45, 160, 40),
    VOICE(SECOND_CRASH, "second-crash", "second crash", 13, X, NONE, HANDS, 57, 62, 62, 45, 180,
          40),
    VOICE(SPLASH, "splash", "splash", 12, DIAMOND, NONE, HANDS, 55, 15, 58, 42, 100, 40),
    VOICE(CHINA, "china", "china", 12, CIRCLE_X, NONE, HANDS, 52, 88, 48, 45, 180, 40),
    VOICE(HIGH_TOM, "high-tom", "high tom", 9, ROUND, NONE, HANDS, 50, 3, 40, 15, 100, 60),
    VOICE(MID_TOM, "mid-tom", "mid tom", 8, ROUND, NONE, HANDS, 47, 36, 40, 15, 120, 60),
    VOICE(FLOOR_TOM, "floor-tom", "floor tom", 5, ROUND, NONE, HANDS, 43, 55, -2, 0, 160, 60),
    VOICE(SECOND_FLOOR_TOM, "second-floor-tom", "second floor tom", 4, ROUND, NONE, HANDS, 41, 78,
          -32, 0, 180, 60),
    VOICE(BASS_DRUM, "bass-drum", "bass drum", 3, ROUND, NONE, PLAYER_RIGHT_FOOT, 36, 18, 22, -60,
          40, 90),
    VOICE(SECOND_BASS_DRUM, "second-bass-drum", "second bass drum", 2, ROUND, NONE,
          PLAYER_LEFT_FOOT, 35, -13, 20, -60, 40, 90),
    VOICE(COWBELL, "cowbell", "cowbell", 9, TRIANGLE, NONE, HANDS, 56, 20, 48, 25, 60, 60),
    VOICE(WOODBLOCK, "woodblock", "woodblock", 9, SQUARE, NONE, HANDS, 76, 8, 52, 25, 70, 40),
    VOICE(TAMBOURINE, "tambourine", "tambourine", 8, TRIANGLE, NONE, HANDS, 54, -48, 40, 25, 100,
          60),
    VOICE(PRACTICE_PAD, "practice-pad", "practice pad", 7, ROUND, NONE, HANDS, 38, 0, 0, 0, 80, 60),
    VOICE(STICK_CLICK, "stick-click", "stick click", 7, PLUS, NONE, HANDS, 31, 0, 0, 0, 140, 60),
#undef VOICE
#undef HANDS
};

const struct voice *voice_builtin(enum voice_builtin which)
{
    return &voices[which];
}

int voice_width_cm(const struct voice *voice)
{
    return (voice->size * 254 * voice->share + 50000) / 100000;
}

/* Plain word, then the glyph for whole, half and shorter notes. */
static const struct {
    const char *word;
    enum glyph glyphs[3];
} heads[HEAD_KINDS] = {
    [HEAD_ROUND] = {"round", {GLYPH_HEAD_WHOLE, GLYPH_HEAD_HALF, GLYPH_HEAD_BLACK}},
    [HEAD_X] = {"x", {GLYPH_HEAD_X_WHOLE, GLYPH_HEAD_X_HALF, GLYPH_HEAD_X_BLACK}},
    [HEAD_DIAMOND] = {"diamond",
                      {GLYPH_HEAD_DIAMOND_WHOLE, GLYPH_HEAD_DIAMOND_HALF,
                       GLYPH_HEAD_DIAMOND_BLACK}},
    [HEAD_SLASHED] = {"slashed",
                      {GLYPH_HEAD_SLASHED_WHOLE, GLYPH_HEAD_SLASHED_HALF,
                       GLYPH_HEAD_SLASHED_BLACK}},
    [HEAD_CIRCLE_X] = {"circle-x",
                       {GLYPH_HEAD_CIRCLE_X_WHOLE, GLYPH_HEAD_CIRCLE_X_HALF, GLYPH_HEAD_CIRCLE_X}},
    [HEAD_TRIANGLE] = {"triangle",
                       {GLYPH_HEAD_TRIANGLE_WHOLE, GLYPH_HEAD_TRIANGLE_HALF,
                        GLYPH_HEAD_TRIANGLE_BLACK}},
    [HEAD_SQUARE] = {"square",
                     {GLYPH_HEAD_SQUARE_WHITE, GLYPH_HEAD_SQUARE_WHITE, GLYPH_HEAD_SQUARE_BLACK}},
    [HEAD_PLUS] = {"plus", {GLYPH_HEAD_PLUS_WHOLE, GLYPH_HEAD_PLUS_HALF, GLYPH_HEAD_PLUS_BLACK}},
};

bool head_from_word(const char *word, enum head *head)
{
    for (int kind = 0; kind < HEAD_KINDS; kind++) {
        bool found = strcmp(word, heads[kind].word) == 0;
        for (size_t i = 0; i < 3 && !found; i++)
            found = strcmp(word, glyph_smufl_name(heads[kind].glyphs[i])) == 0;
        if (found) {
            *head = (enum head)kind;
            return true;
        }
    }
    return false;
}

const char *head_word(enum head head)
{
    return heads[head].word;
}

enum glyph head_glyph(enum head head, int value_log2)
{
    return heads[head].glyphs[value_log2 <= 0 ? 0 : value_log2 == 1 ? 1 : 2];
}
