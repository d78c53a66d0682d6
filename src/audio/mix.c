/*
 * Adds the sounds of all strokes, each at its own sample.
 *
 *     mix_new()
 *         for each stroke its frame, sound and gain
 *         clicks as loud as the loudest drum                   place_clicks()
 *         a hat ends when the next one is struck               choke()
 *         a loop: copies of all strokes before and after it    repeat_rounds()
 *         otherwise the file lasts until all has died away
 *     mix_read()
 *         strokes that begin in this block join the list of those that sound;
 *         each adds its part of the block, and leaves the list when it is over
 */
#include "audio/audio_int.h"

#include <math.h>
#include <string.h>

enum {
    CHOKE_FRAMES = AUDIO_RATE / 100, /* in which a choked hat dies away */
    RING_FRAMES = 4 * AUDIO_RATE     /* how long sounds may ring on after the end */
};

static const int64_t CHOKED_NEVER = INT64_MAX - CHOKE_FRAMES;

/* One stroke of the file. */
struct voice_start {
    int64_t frame;
    int64_t choked; /* frame from which it dies away; or CHOKED_NEVER */
    const struct sound *sound;
    float gain;
};

/* The frame after its last one. */
static int64_t end_of(const struct voice_start *start)
{
    int64_t whole = start->frame + (int64_t)start->sound->frames;
    int64_t choked = start->choked + CHOKE_FRAMES;
    return choked < whole ? choked : whole;
}

struct mix {
    struct voice_start *starts;
    size_t start_count;
    int64_t frames;
    int64_t now;
    size_t next;      /* the first start that has not begun */
    size_t *sounding; /* those that have begun and are not over */
    size_t sounding_count;
    bool loop;
    int64_t period; /* length of the performance, without what rings on */
};

/* Closed, pedal or open hat: each ends the one before (General MIDI level 2, from memory). */
static bool is_hat(const struct strike *strike)
{
    return strike->part != SOUND_CLICK &&
           (strike->key == 42 || strike->key == 44 || strike->key == 46);
}

/* From the last stroke to the first, so that each hat meets the next one. */
static void choke(const struct performance *performance, struct voice_start *starts, int64_t period)
{
    int64_t next = CHOKED_NEVER;
    for (int round = 0; round < 1 + performance->loop; round++) {
        for (size_t i = performance->strike_count; i-- > 0;) {
            const struct strike *strike = &performance->strikes[i];
            if (!is_hat(strike))
                continue;
            if (next > starts[i].frame && !strike->rings)
                starts[i].choked = next;
            next = starts[i].frame;
        }
        if (next != CHOKED_NEVER)
            next += period; /* the loop's first hat ends its last one */
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

/* The click on beat 1 is as loud as the loudest drum, the others are a little softer. */
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

/* A loop sounds as if it had always gone on: strokes are copied for as many rounds before it as
   their sounds last, and for one after it, as the limiter looks ahead. */
static void repeat_rounds(struct arena *arena, struct mix *mix)
{
    int64_t longest = AUDIO_RATE; /* level.c reads so much before frame 0 */
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
            if (start->choked != CHOKED_NEVER)
                start->choked += (round - before) * mix->period;
        }
    mix->starts = all;
    mix->start_count = count * (size_t)rounds;
}

static int64_t last_sounding(const struct mix *mix)
{
    int64_t last = 0;
    for (size_t i = 0; i < mix->start_count; i++) {
        int64_t end = end_of(&mix->starts[i]);
        last = end > last ? end : last;
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
            .choked = CHOKED_NEVER,
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
    for (size_t i = 0; i < frames; i++, gone++) {
        float rest = gain * (float)(CHOKE_FRAMES - gone) / CHOKE_FRAMES;
        out[2 * i] += rest * in[2 * i];
        out[2 * i + 1] += rest * in[2 * i + 1];
    }
}

/* Adds a stroke's part of the block: as it is until it is choked, dying away after that. False if
   it is over by the end of the block. */
static bool add_voice(const struct mix *mix, const struct voice_start *start, float *samples,
                      int64_t frames)
{
    int64_t begin = start->frame > mix->now ? start->frame : mix->now;
    int64_t block_end = mix->now + frames, end = end_of(start);
    int64_t stop = end < block_end ? end : block_end;
    int64_t dying = start->choked < stop ? start->choked : stop;
    dying = dying > begin ? dying : begin;
    float *out = samples + (begin - mix->now) * AUDIO_CHANNELS;
    const float *in = start->sound->samples + (begin - start->frame) * AUDIO_CHANNELS;
    size_t even = (size_t)(dying - begin) * AUDIO_CHANNELS;
    add_even(out, in, even, start->gain);
    if (stop > dying)
        add_dying(out + even, in + even, (size_t)(stop - dying), start->gain,
                  dying - start->choked);
    return end > block_end;
}

void mix_read(struct mix *mix, float *samples, size_t frames)
{
    memset(samples, 0, frames * AUDIO_CHANNELS * sizeof *samples);
    int64_t end = mix->now + (int64_t)frames;
    for (; mix->next < mix->start_count && mix->starts[mix->next].frame < end; mix->next++) {
        const struct voice_start *start = &mix->starts[mix->next];
        if (start->sound->frames && end_of(start) > mix->now)
            mix->sounding[mix->sounding_count++] = mix->next;
    }
    size_t kept = 0;
    for (size_t i = 0; i < mix->sounding_count; i++)
        if (add_voice(mix, &mix->starts[mix->sounding[i]], samples, (int64_t)frames))
            mix->sounding[kept++] = mix->sounding[i];
    mix->sounding_count = kept;
    mix->now = end;
}
