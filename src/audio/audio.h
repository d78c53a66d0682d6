#ifndef RATAMARK_AUDIO_AUDIO_H
#define RATAMARK_AUDIO_AUDIO_H
/*
 * Writes a performance as audio: FluidSynth renders each stroke, the mix places it to the sample,
 * the level sets the loudness, libsndfile writes the file. This folder becomes a module of its own,
 * ratamark-sound.so, with one symbol, AUDIO_SYMBOL, a struct audio_module. The command loads it
 * only when audio is wanted, so that no other command waits for its libraries; only this folder
 * includes them.
 */
#include "model/format.h"
#include "model/performance.h"

#include <stdbool.h>
#include <stddef.h>

enum { AUDIO_RATE = 48000, AUDIO_CHANNELS = 2, AUDIO_VERSION = 1 };
#define AUDIO_SYMBOL "ratamark_audio"

struct audio_order {
    const struct performance *performance;
    enum format format; /* FORMAT_WAV, FORMAT_FLAC or FORMAT_OGG */
    const char *font;   /* path of a General MIDI sound font */
    double loudness;    /* of the whole file, in LUFS */
    double click_db;    /* click volume in dB (0: normal) */
    /* Takes the next `length` bytes of the file; false if they could not be written. */
    bool (*write)(void *closure, const void *bytes, size_t length);
    void *closure;
    void (*exhausted)(
        size_t wanted); /* for memory_on_exhaustion(), of which the module has its own */
};

enum { AUDIO_REPLACED_MAX = 16 };

struct audio_report {
    double loudness; /* in LUFS; NAN for silence and files under 0.4 s, which cannot be measured */
    double peak;     /* 1: full scale */
    bool limited;    /* the limiter held peaks back */
    struct {
        uint8_t key; /* the font does not have it ... */
        uint8_t by;  /* ... so this one sounds; 0: nothing does */
    } replaced[AUDIO_REPLACED_MAX];
    size_t replaced_count;
    char problem[256]; /* why rendering failed; "" if order->write() did */
};

struct audio_module {
    int version; /* AUDIO_VERSION */
    bool (*render)(const struct audio_order *order, struct audio_report *report);
    const char *(*libraries)(void); /* names and versions, a line each */
};

#endif
