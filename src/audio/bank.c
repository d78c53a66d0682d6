/*
 * The sounds of a sound font. A synthesizer can start a note only at its next block of 64 samples.
 * So each stroke is rendered by itself, once, and mix.c adds it to the sample. The sum is what the
 * synthesizer would play, as its reverb and chorus are off.
 *
 *     bank_sound()
 *         the key, or the one that stands in for it      playing_key()
 *         its velocity; once STRENGTHS are rendered,
 *             the nearest of those, louder or softer     nearest(), louder()
 *         if it is not rendered yet                      make()
 *             play the key until it has died away        render()
 *             cut the silence before the attack          attack()
 *             cut the inaudible tail and fade out        tail(), fade_out()
 */
#include "audio/audio_int.h"

#include <fluidsynth.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    DRUMS = 9, /* channel 10, counted from 0 */
    CHUNK = 4800,
    FRAMES_MAX = 6 * AUDIO_RATE,
    FADE = AUDIO_RATE / 50,
    STRENGTHS = 20, /* most velocities rendered for a key: a crescendo may have a hundred */
    KEYS = 128,
    VELOCITIES = 128
};

/* A sound begins where it first reaches a hundredth of its peak, and has died away when it stays
   below a two-thousandth of it (66 dB). */
#define ATTACK_SHARE 0.01f
#define TAIL_SHARE 0.0005f
#define SILENCE 1e-4f

/* A half-open hat dies away with this time constant. */
#define HALF_OPEN_SECONDS 0.12

struct bank {
    struct arena *arena;
    fluid_settings_t *settings;
    fluid_synth_t *synth;
    struct sound *sounds[KEYS][VELOCITIES][2]; /* [1]: half open; NULL: not rendered yet */
    uint8_t rendered[KEYS][2];                 /* how many velocities are */
    uint8_t plays[KEYS];                       /* the key that sounds for this one; 0: not known */
};

/* Keys that fonts often lack (those of General MIDI level 2 first), and the nearest that they have.
 */
static const struct {
    uint8_t key, by;
} stand_ins[] = {{27, 76}, {28, 39}, {29, 37}, {30, 37}, {31, 37}, {32, 37}, {33, 77}, {34, 76},
                 {82, 70}, {83, 54}, {84, 81}, {85, 75}, {86, 64}, {87, 41}, {40, 38}, {35, 36},
                 {57, 49}, {52, 49}, {55, 49}, {53, 51}, {59, 51}, {44, 42}};

static void quiet(int level, const char *message, void *data)
{
    (void)level;
    (void)message;
    (void)data;
}

struct bank *bank_open(const char *font, struct audio_report *report)
{
    for (int level = FLUID_PANIC; level < LAST_LOG_LEVEL; level++)
        fluid_set_log_function(level, quiet, NULL);
    struct bank *bank = memory_alloc(sizeof *bank);
    memset(bank, 0, sizeof *bank);
    bank->arena = arena_new();
    bank->settings = new_fluid_settings();
    fluid_settings_setnum(bank->settings, "synth.sample-rate", AUDIO_RATE);
    fluid_settings_setnum(bank->settings, "synth.gain", 0.5);
    fluid_settings_setint(bank->settings, "synth.reverb.active", 0);
    fluid_settings_setint(bank->settings, "synth.chorus.active", 0);
    fluid_settings_setint(bank->settings, "synth.polyphony", 64);
    fluid_settings_setint(bank->settings, "synth.dynamic-sample-loading", 1);
    bank->synth = new_fluid_synth(bank->settings);
    if (bank->synth && fluid_synth_sfload(bank->synth, font, 1) != FLUID_FAILED)
        return bank;
    snprintf(report->problem, sizeof report->problem, "'%s' is no sound font that can be used",
             font);
    bank_close(bank);
    return NULL;
}

void bank_close(struct bank *bank)
{
    delete_fluid_synth(bank->synth);
    delete_fluid_settings(bank->settings);
    arena_free(bank->arena);
    memory_free(bank);
}

/* ---- rendering ------------------------------------------------------------------------------ */

/* Returns the frames until the sound has died away. */
static size_t render(struct bank *bank, uint8_t key, uint8_t velocity, float *room)
{
    fluid_synth_all_sounds_off(bank->synth, DRUMS);
    float rest[CHUNK * AUDIO_CHANNELS];
    fluid_synth_write_float(bank->synth, 960, rest, 0, 2, rest, 1, 2); /* drop what still rings */
    fluid_synth_noteon(bank->synth, DRUMS, key, velocity);
    size_t frames = 0;
    float peak = 0;
    while (frames < FRAMES_MAX) {
        float *chunk = room + frames * AUDIO_CHANNELS;
        fluid_synth_write_float(bank->synth, CHUNK, chunk, 0, 2, chunk, 1, 2);
        float here = peak_of(chunk, CHUNK);
        peak = fmaxf(peak, here);
        frames += CHUNK;
        if (here < peak * TAIL_SHARE || (peak < SILENCE && frames >= AUDIO_RATE / 2))
            break;
    }
    fluid_synth_noteoff(bank->synth, DRUMS, key);
    return frames;
}

static void damp(float *samples, size_t frames)
{
    for (size_t i = 0; i < frames; i++) {
        float gain = (float)exp(-(double)i / (AUDIO_RATE * HALF_OPEN_SECONDS));
        samples[2 * i] *= gain;
        samples[2 * i + 1] *= gain;
    }
}

static size_t attack(const float *samples, size_t frames, float peak)
{
    size_t frame = 0;
    while (frame + 1 < frames && fabsf(samples[2 * frame]) < peak * ATTACK_SHARE &&
           fabsf(samples[2 * frame + 1]) < peak * ATTACK_SHARE)
        frame++;
    return frame;
}

static size_t tail(const float *samples, size_t frames, float peak)
{
    while (frames > FADE && fabsf(samples[2 * frames - 1]) < peak * TAIL_SHARE &&
           fabsf(samples[2 * frames - 2]) < peak * TAIL_SHARE)
        frames--;
    return frames;
}

static void fade_out(float *samples, size_t frames)
{
    size_t fade = frames < FADE ? frames : FADE;
    for (size_t i = 0; i < fade; i++) {
        float gain = (float)(fade - i) / (float)fade;
        samples[2 * (frames - fade + i)] *= gain;
        samples[2 * (frames - fade + i) + 1] *= gain;
    }
}

static struct sound *make(struct bank *bank, uint8_t key, uint8_t velocity, bool half_open)
{
    float *room = memory_alloc((FRAMES_MAX + CHUNK) * AUDIO_CHANNELS * sizeof *room);
    size_t frames = render(bank, key, velocity, room);
    float peak = peak_of(room, frames);
    struct sound *sound = arena_alloc(bank->arena, sizeof *sound);
    if (peak >= SILENCE) {
        size_t first = attack(room, frames, peak);
        float *begin = room + first * AUDIO_CHANNELS;
        if (half_open)
            damp(begin, frames - first);
        sound->frames = tail(begin, frames - first, peak);
        sound->peak = peak;
        size_t bytes = sound->frames * AUDIO_CHANNELS * sizeof *room;
        sound->samples = arena_room(bank->arena, bytes);
        memcpy(sound->samples, begin, bytes);
        fade_out(sound->samples, sound->frames);
    }
    memory_free(room);
    return sound;
}

/* ---- keys ----------------------------------------------------------------------------------- */

static void report_replaced(struct audio_report *report, uint8_t key, uint8_t by)
{
    if (report->replaced_count == AUDIO_REPLACED_MAX)
        return;
    report->replaced[report->replaced_count].key = key;
    report->replaced[report->replaced_count++].by = by;
}

/* The key itself if the font has it, else the one that stands in. */
static uint8_t playing_key(struct bank *bank, uint8_t key, struct audio_report *report)
{
    if (bank->plays[key])
        return bank->plays[key];
    bank->plays[key] = key;
    bank->sounds[key][127][0] = make(bank, key, 127, false);
    if (bank->sounds[key][127][0]->frames)
        return key;
    uint8_t by = 0;
    for (size_t i = 0; i < sizeof stand_ins / sizeof *stand_ins; i++)
        if (stand_ins[i].key == key)
            by = stand_ins[i].by;
    if (by && make(bank, by, 127, false)->frames)
        bank->plays[key] = by;
    else
        by = 0;
    report_replaced(report, key, by);
    return bank->plays[key];
}

/* The rendered velocity that is nearest; one is rendered. */
static int nearest(struct sound *(*row)[2], int velocity, bool half_open)
{
    for (int apart = 0;; apart++) {
        if (velocity - apart > 0 && row[velocity - apart][half_open])
            return velocity - apart;
        if (velocity + apart < VELOCITIES && row[velocity + apart][half_open])
            return velocity + apart;
    }
}

/* In sound fonts, twice the velocity is four times the amplitude (SoundFont 2.04, from memory). */
static float louder(int velocity, int than)
{
    float ratio = (float)velocity / (float)than;
    return ratio * ratio;
}

const struct sound *bank_sound(struct bank *bank, const struct strike *strike, float *gain,
                               struct audio_report *report)
{
    uint8_t key = playing_key(bank, strike->key & (KEYS - 1), report);
    int velocity = strike->velocity & (VELOCITIES - 1);
    struct sound *(*row)[2] = bank->sounds[key];
    uint8_t *rendered = &bank->rendered[key][strike->half_open];
    int taken = velocity;
    if (!row[velocity][strike->half_open] && *rendered == STRENGTHS)
        taken = nearest(row, velocity, strike->half_open);
    struct sound **place = &row[taken][strike->half_open];
    if (!*place) {
        *place = make(bank, key, (uint8_t)taken, strike->half_open);
        ++*rendered;
    }
    *gain = taken == velocity ? 1 : louder(velocity, taken);
    return *place;
}
