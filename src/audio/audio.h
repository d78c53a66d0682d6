#ifndef RATAMARK_AUDIO_AUDIO_H
#define RATAMARK_AUDIO_AUDIO_H
/*
 * A performance as audio: each stroke rendered by FluidSynth, mixed at its own sample, levelled to
 * a loudness, written by libsndfile. This folder is a module of its own, ratamark-sound.so, which
 * the command loads when audio is asked for: so no other command waits for its libraries. Only this
 * folder includes them.
 *
 * The module has one symbol, AUDIO_SYMBOL: a struct audio_module.
 */
#include "model/format.h"
#include "model/performance.h"

#include <stdbool.h>
#include <stddef.h>

enum { AUDIO_RATE = 48000, AUDIO_CHANNELS = 2, AUDIO_VERSION = 1 };
#define AUDIO_SYMBOL "ratamark_audio"

struct audio_order {
    const struct performance *performance;
    enum format format; /* made from FORMAT_FROM_AUDIO */
    const char *font;   /* path of a General MIDI sound font */
    double loudness;    /* LUFS, of the whole file */
    double click_db;    /* decibels that the click is louder than usual */
    /* Takes `length` bytes of the file, in order; false when they could not be written. */
    bool (*write)(void *closure, const void *bytes, size_t length);
    void *closure;
    void (*exhausted)(size_t wanted); /* as of memory_on_exhaustion() */
};

enum { AUDIO_REPLACED_MAX = 16 };

struct audio_report {
    double loudness; /* reached; that of silence and of less than 0.4 s cannot be measured: NAN */
    double peak;     /* 1: full scale */
    bool limited;    /* peaks were held back */
    struct {
        uint8_t key,
            by; /* a key that the font does not have, and what sounds instead; 0: nothing */
    } replaced[AUDIO_REPLACED_MAX];
    size_t replaced_count;
    char problem[256]; /* why not, where it failed; "" where writing did */
};

struct audio_module {
    int version; /* AUDIO_VERSION */
    bool (*render)(const struct audio_order *order, struct audio_report *report);
    const char *(*libraries)(void); /* names and versions, a line each */
};

#endif
