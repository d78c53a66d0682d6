#ifndef RATAMARK_AUDIO_INT_H
#define RATAMARK_AUDIO_INT_H
/* What the files of the module share. Samples are floats, 1 being full scale: left, right, left,
   right. A frame is one left and one right sample. */
#include "audio/audio.h"
#include "base/arena.h"

#include <math.h>

/* The sound of one stroke, from its attack on. */
struct sound {
    float *samples;
    size_t frames;
    float peak;
};

static inline float peak_of(const float *samples, size_t frames)
{
    float peak = 0;
    for (size_t i = 0; i < frames * AUDIO_CHANNELS; i++)
        peak = fabsf(samples[i]) > peak ? fabsf(samples[i]) : peak;
    return peak;
}

/* ---- bank.c: the sounds of a sound font ------------------------------------------------------ */

struct bank;
/* NULL, with report->problem set, if the font cannot be used. */
struct bank *bank_open(const char *font, struct audio_report *report);
void bank_close(struct bank *bank);
/* The sound of a stroke, and the factor to play it with. Each is rendered once and kept by the
   bank; for a key with very many velocities, the sound of a near one is used. A key that the font
   does not have is replaced and reported. */
const struct sound *bank_sound(struct bank *bank, const struct strike *strike, float *gain,
                               struct audio_report *report);

/* ---- click.c: our own click ------------------------------------------------------------------ */

enum { CLICK_FRAMES = AUDIO_RATE / 12 };
/* The click of beat 1, or of the other beats, with a peak of 1. */
void click_make(bool one, float samples[CLICK_FRAMES * AUDIO_CHANNELS]);

/* ---- mix.c: all strokes together ------------------------------------------------------------- */

struct mix;
/* Finds the sound of every stroke. Lives on the arena. */
struct mix *mix_new(struct arena *arena, const struct audio_order *order, struct bank *bank,
                    struct audio_report *report);
/* The length of the file. */
int64_t mix_frames(const struct mix *mix);
/* Sets the frame to read next; in a loop it may be negative. */
void mix_seek(struct mix *mix, int64_t frame);
/* Reads the next frames; after the end of the file silence, or in a loop its beginning. */
void mix_read(struct mix *mix, float *samples, size_t frames);

/* ---- level.c: how loud ----------------------------------------------------------------------- */

/* Takes the next finished frames; false stops. */
typedef bool level_take(void *closure, const float *samples, size_t frames);
/* Plays the mix to `take` at order->loudness, with no sample above LEVEL_CEILING. False if `take`
   returned false. */
bool level_play(struct mix *mix, const struct audio_order *order, struct audio_report *report,
                level_take *take, void *closure);
#define LEVEL_CEILING 0.8f /* -1.9 dB: a wave can be higher between its samples */
enum { BLOCK_FRAMES = 2048 };

/* ---- audio_file.c: the file ------------------------------------------------------------------ */

struct sink;
/* NULL, with report->problem set, on failure. */
struct sink *sink_open(const struct audio_order *order, struct audio_report *report);
bool sink_take(void *sink, const float *samples, size_t frames);
/* Hands the finished file to order->write() and frees the sink. False on failure, with
   report->problem set unless order->write() failed. */
bool sink_close(struct sink *sink, struct audio_report *report);
void sink_abandon(struct sink *sink);

#endif
