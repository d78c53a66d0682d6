#include "model/voice.h"

#include <string.h>

/* A row that says too little does not compile. */
#define VOICE(id, name_, spoken_, line2_, head_, sign_, player_, midi_, x, y, z, size_, share_)    \
    _Static_assert(sizeof(name_) > 1 && sizeof(spoken_) > 1, "voice " #id ": it has no name");     \
    _Static_assert((midi_) >= 27 && (midi_) <= 87, "voice " #id ": no percussion key");            \
    _Static_assert((size_) > 0 && (share_) > 0 && (share_) <= 100, "voice " #id ": no surface");
VOICES(VOICE)
#undef VOICE

static const struct voice voices[VOICE_BUILTIN_COUNT] = {
#define VOICE(id, name_, spoken_, line2_, head_, sign_, player_, midi_, x, y, z, size_, share_)    \
    {.name = name_,                                                                                \
     .spoken = spoken_,                                                                            \
     .line2 = line2_,                                                                              \
     .head = HEAD_##head_,                                                                         \
     .sign = MARK_##sign_,                                                                         \
     .player = PLAYER_##player_,                                                                   \
     .midi = midi_,                                                                                \
     .x_cm = x,                                                                                    \
     .y_cm = y,                                                                                    \
     .z_cm = z,                                                                                    \
     .size = size_,                                                                                \
     .share = share_},
    VOICES(VOICE)
#undef VOICE
};

const struct voice *voice_builtin(enum voice_builtin which)
{
    return &voices[which];
}

bool voice_rings(const struct voice *voice)
{
    switch (voice->midi) {
    case 31: /* sticks */
    case 37: /* side stick */
    case 42: /* closed hi-hat */
    case 44: /* pedal hi-hat */
    case 75: /* claves */
    case 76: /* high and low wood block */
    case 77:
        return false;
    default:
        return true;
    }
}

int voice_width_cm(const struct voice *voice)
{
    return (voice->size * 254 * voice->share + 50000) / 100000;
}

static const struct {
    const char *word;
    enum glyph glyphs[3]; /* of whole, half and shorter notes */
} heads[HEAD_KINDS] = {
#define HEAD(id, word, whole, half, black) {word, {GLYPH_##whole, GLYPH_##half, GLYPH_##black}},
    HEADS(HEAD)
#undef HEAD
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
