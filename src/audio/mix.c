/* Strokes at their samples. What still sounds is a short list; hats end one another. */
#include "audio/audio_int.h"

#include <math.h>
#include <string.h>

enum {
    CHOKE_FRAMES = AUDIO_RATE / 100, /* in which a hat that is choked dies */
    RING_FRAMES = 4 * AUDIO_RATE     /* what may ring on after the end */
};

/* One stroke of the file. */
struct voice_start {
    int64_t frame;
    int64_t choked; /* frame from which it dies; INT64_MAX: never */
    const struct sound *sound;
    float gain;
};

struct mix {
    struct voice_start *starts;
    size_t start_count;
    int64_t frames;
    int64_t now;
    size_t next; /* start that is not sounding yet */
    size_t *sounding;
    size_t sounding_count;
    bool loop;
    int64_t period;
};

/* General MIDI level 2: closed, pedal and open hat end one another (from memory). */
static bool is_hat(const struct strike *strike)
{
    return strike->key == 42 || strike->key == 44 || strike->key == 46;
}

/* From the last to the first, so that each hat finds the next one. */
static void choke(const struct performance *performance, struct voice_start *starts, int64_t period)
{
    int64_t next = INT64_MAX;
    for (int round = 0; round < 1 + performance->loop; round++) {
        for (size_t i = performance->strike_count; i-- > 0;) {
            const struct strike *strike = &performance->strikes[i];
            if (strike->part == SOUND_CLICK || !is_hat(strike))
                continue;
            if (next > starts[i].frame)
                starts[i].choked = next;
            next = starts[i].frame;
        }
        if (next != INT64_MAX)
            next += period; /* the loop's first hat ends its last */
    }
}

static float loudest(const struct performance *performance, const struct voice_start *starts)
{
    float peak = 0;
    for (size_t i = 0; i < performance->strike_count; i++)
        if (performance->strikes[i].part != SOUND_CLICK)
            peak = fmaxf(peak, starts[i].sound->peak * starts[i].gain);
    return peak > 0 ? peak : 0.5f;
}

/* The click on one is as high as the highest drum, the others a little lower. */
static void place_clicks(struct arena *arena, const struct audio_order *order,
                         struct voice_start *starts)
{
    struct sound *clicks = arena_array(arena, 2, sizeof *clicks);
    for (int one = 0; one < 2; one++) {
        clicks[one].frames = CLICK_FRAMES;
        clicks[one].peak = 1;
        clicks[one].samples =
            arena_array(arena, CLICK_FRAMES * AUDIO_CHANNELS, sizeof *clicks[one].samples);
        click_make(one, clicks[one].samples);
    }
    const struct performance *performance = order->performance;
    float gain = loudest(performance, starts) * (float)pow(10, order->click_db / 20);
    for (size_t i = 0; i < performance->strike_count; i++) {
        if (performance->strikes[i].part != SOUND_CLICK)
            continue;
        bool one = performance->strikes[i].key == CLICK_KEY_ONE;
        starts[i].sound = &clicks[one];
        starts[i].gain = gain * (one ? 1.0f : 0.75f);
    }
}

/* A loop is heard as if it had always gone on: rounds before it, and one after it for whoever looks
   ahead. */
static void repeat_rounds(struct arena *arena, struct mix *mix)
{
    int64_t longest = AUDIO_RATE; /* what is read before 0 */
    for (size_t i = 0; i < mix->start_count; i++)
        if ((int64_t)mix->starts[i].sound->frames > longest)
            longest = (int64_t)mix->starts[i].sound->frames;
    int64_t before = (longest + AUDIO_RATE) / mix->period + 1, rounds = before + 2;
    size_t count = mix->start_count;
    struct voice_start *all = arena_array(arena, count * (size_t)rounds, sizeof *all);
    for (int64_t round = 0; round < rounds; round++)
        for (size_t i = 0; i < count; i++) {
            struct voice_start *start = &all[(size_t)round * count + i];
            *start = mix->starts[i];
            start->frame += (round - before) * mix->period;
            if (start->choked != INT64_MAX)
                start->choked += (round - before) * mix->period;
        }
    mix->starts = all;
    mix->start_count = count * (size_t)rounds;
}

static int64_t last_sounding(const struct mix *mix)
{
    int64_t last = 0;
    for (size_t i = 0; i < mix->start_count; i++) {
        const struct voice_start *start = &mix->starts[i];
        int64_t end = start->frame + (int64_t)start->sound->frames;
        if (start->choked != INT64_MAX && start->choked + CHOKE_FRAMES < end)
            end = start->choked + CHOKE_FRAMES;
        if (end > last)
            last = end;
    }
    return last;
}

struct mix *mix_new(struct arena *arena, const struct audio_order *order, struct bank *bank,
                    struct audio_report *report)
{
    const struct performance *performance = order->performance;
    struct mix *mix = arena_alloc(arena, sizeof *mix);
    mix->start_count = performance->strike_count;
    mix->starts = arena_array(arena, mix->start_count + 1, sizeof *mix->starts);
    mix->period = performance_frame(performance, performance->length, AUDIO_RATE);
    mix->loop = performance->loop && mix->period > 0;
    for (size_t i = 0; i < mix->start_count; i++) {
        const struct strike *strike = &performance->strikes[i];
        mix->starts[i] = (struct voice_start){
            .frame = performance_frame(performance, strike->at, AUDIO_RATE),
            .choked = INT64_MAX,
        };
        if (strike->part != SOUND_CLICK)
            mix->starts[i].sound = bank_sound(bank, strike, &mix->starts[i].gain, report);
    }
    place_clicks(arena, order, mix->starts);
    choke(performance, mix->starts, mix->period);
    mix->frames = mix->period;
    if (mix->loop) {
        repeat_rounds(arena, mix);
    } else {
        int64_t last = last_sounding(mix);
        int64_t most = mix->period + RING_FRAMES;
        mix->frames = last < mix->period ? mix->period : last < most ? last : most;
    }
    mix->sounding = arena_array(arena, mix->start_count + 1, sizeof *mix->sounding);
    return mix;
}

int64_t mix_frames(const struct mix *mix)
{
    return mix->frames;
}

void mix_seek(struct mix *mix, int64_t frame)
{
    mix->now = frame;
    mix->next = 0;
    mix->sounding_count = 0;
}

/* ---- adding --------------------------------------------------------------------------------- */

static void add_even(float *restrict out, const float *restrict in, size_t count, float gain)
{
    for (size_t i = 0; i < count; i++)
        out[i] += gain * in[i];
}

static void add_dying(float *out, const float *in, size_t frames, float gain, int64_t gone)
{
    for (size_t i = 0; i < frames && gone < CHOKE_FRAMES; i++, gone++) {
        float rest = gain * (float)(CHOKE_FRAMES - gone) / CHOKE_FRAMES;
        out[2 * i] += rest * in[2 * i];
        out[2 * i + 1] += rest * in[2 * i + 1];
    }
}

/* Adds what falls in the block; false once the sound is over with it. */
static bool add_voice(const struct mix *mix, const struct voice_start *start, float *samples,
                      int64_t frames)
{
    int64_t begin = start->frame > mix->now ? start->frame : mix->now;
    int64_t block_end = mix->now + frames, end = start->frame + (int64_t)start->sound->frames;
    int64_t stop = end < block_end ? end : block_end;
    int64_t even = start->choked < stop ? start->choked : stop;
    float *out = samples + (begin - mix->now) * AUDIO_CHANNELS;
    const float *in = start->sound->samples + (begin - start->frame) * AUDIO_CHANNELS;
    if (even > begin)
        add_even(out, in, (size_t)(even - begin) * AUDIO_CHANNELS, start->gain);
    if (stop > even) {
        int64_t from = even > begin ? even : begin;
        add_dying(samples + (from - mix->now) * AUDIO_CHANNELS,
                  start->sound->samples + (from - start->frame) * AUDIO_CHANNELS,
                  (size_t)(stop - from), start->gain, from - start->choked);
    }
    return end > block_end &&
           (start->choked == INT64_MAX || start->choked + CHOKE_FRAMES > block_end);
}

void mix_read(struct mix *mix, float *samples, size_t frames)
{
    memset(samples, 0, frames * AUDIO_CHANNELS * sizeof *samples);
    int64_t end = mix->now + (int64_t)frames;
    for (; mix->next < mix->start_count && mix->starts[mix->next].frame < end; mix->next++) {
        const struct voice_start *start = &mix->starts[mix->next];
        if (start->sound->frames && start->frame + (int64_t)start->sound->frames > mix->now &&
            (start->choked == INT64_MAX || start->choked + CHOKE_FRAMES > mix->now))
            mix->sounding[mix->sounding_count++] = mix->next;
    }
    size_t kept = 0;
    for (size_t i = 0; i < mix->sounding_count; i++)
        if (add_voice(mix, &mix->starts[mix->sounding[i]], samples, (int64_t)frames))
            mix->sounding[kept++] = mix->sounding[i];
    mix->sounding_count = kept;
    mix->now = end;
}
