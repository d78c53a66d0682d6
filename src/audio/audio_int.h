#ifndef RATAMARK_AUDIO_INT_H
#define RATAMARK_AUDIO_INT_H
/* What the files of the module share. Samples are floats, left and right in turns; a frame is one
   of each; 1 is full scale. */
#include "audio/audio.h"
#include "base/arena.h"
#include "base/vector.h"

/* The sound of one stroke, from its attack on. */
struct sound {
    float *samples;
    size_t frames;
    float peak;
};

/* ---- bank.c: the sounds of a sound font -------------------------------------------------------
 */

struct bank;
/* NULL, with the problem told, where the font cannot be used. */
struct bank *bank_open(const char *font, struct audio_report *report);
void bank_close(struct bank *bank);
/* The sound of a stroke on a key, and how much louder it is to be played. Rendered once, kept by
   the bank; of a key that is struck in very many strengths a near one is taken. A key that the font
   does not have is replaced, and told of. */
const struct sound *bank_sound(struct bank *bank, const struct strike *strike, float *gain,
                               struct audio_report *report);

/* ---- click.c: our own --------------------------------------------------------------------------
 */

enum { CLICK_FRAMES = AUDIO_RATE / 12 };
/* A click on one, or on another beat, of peak 1. */
void click_make(bool one, float samples[CLICK_FRAMES * AUDIO_CHANNELS]);

/* ---- mix.c: strokes at their samples ------------------------------------------------------------
 */

struct mix;
/* Finds all sounds; the file's frames are mix_frames(). Lives on the arena. */
struct mix *mix_new(struct arena *arena, const struct audio_order *order, struct bank *bank,
                    struct audio_report *report);
int64_t mix_frames(const struct mix *mix);
/* Begins at a frame; in a loop that may be before 0. */
void mix_seek(struct mix *mix, int64_t frame);
/* The next frames, silence where nothing sounds; in a loop also after the end. */
void mix_read(struct mix *mix, float *samples, size_t frames);

/* ---- level.c: how loud --------------------------------------------------------------------------
 */

/* Takes the finished frames, in blocks; false ends it. */
typedef bool level_take(void *closure, const float *samples, size_t frames);
/* Plays the mix at the loudness that was ordered, with no sample above LEVEL_CEILING. False where
   `take` was. */
bool level_play(struct mix *mix, const struct audio_order *order, struct audio_report *report,
                level_take *take, void *closure);
#define LEVEL_CEILING 0.8f /* -1.9 dB: room for what rises between samples */
enum { BLOCK_FRAMES = 2048 };

/* ---- sink.c: the file
 * ---------------------------------------------------------------------------- */

struct sink;
/* NULL, with the problem told. */
struct sink *sink_open(const struct audio_order *order, struct audio_report *report);
bool sink_take(void *sink, const float *samples, size_t frames);
/* Hands the file on and frees the sink. False, with the problem told, where it failed. */
bool sink_close(struct sink *sink, struct audio_report *report);
void sink_abandon(struct sink *sink);

#endif
