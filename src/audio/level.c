/*
 * How loud. The mix is played once to be measured (ITU-R BS.1770, by libebur128) and once to be
 * written, louder or softer by one factor; so long files need no more memory than short ones. Where
 * peaks would rise over the ceiling a limiter that looks ahead holds them back, and the factor is
 * corrected until the loudness is right again.
 */
#include "audio/audio_int.h"

#include <ebur128.h>
#include <math.h>

enum {
    LOOK_AHEAD = AUDIO_RATE / 200,
    RUN_UP = AUDIO_RATE / 2, /* of a loop, so that the limiter begins as it ends */
    CORRECTIONS = 6
};
#define RELEASE_SECONDS 0.15
#define CLOSE_ENOUGH 0.1 /* LU */
#define QUIET_PEAK 0.25  /* where loudness cannot be measured */
#define FACTOR_MAX 1e4

/*
 * For each frame the factor that its peak needs; the least of the frames to come, so that it is
 * there in time; and the mean of those, so that it comes smoothly. No frame gets more than it
 * needs: each factor in its mean already looked at it.
 */
struct limiter {
    float needed[LOOK_AHEAD + 1]; /* ring of the frames to come */
    float held[LOOK_AHEAD + 1];   /* ring of the factors behind */
    float wait[(LOOK_AHEAD + 1) * AUDIO_CHANNELS];
    size_t at, filled;
    double sum;
    float before;
    bool reached; /* some frame was held back */
};

static void limiter_begin(struct limiter *limiter)
{
    *limiter = (struct limiter){.before = 1, .sum = LOOK_AHEAD + 1};
    for (size_t i = 0; i <= LOOK_AHEAD; i++)
        limiter->needed[i] = limiter->held[i] = 1;
}

static float least(const struct limiter *limiter)
{
    float found = 1;
    for (size_t i = 0; i <= LOOK_AHEAD; i++)
        found = fminf(found, limiter->needed[i]);
    return found;
}

/* One frame in, and the one LOOK_AHEAD before it out. */
static void limit_frame(struct limiter *limiter, float *frame)
{
    float peak = fmaxf(fabsf(frame[0]), fabsf(frame[1]));
    float need = peak > LEVEL_CEILING ? LEVEL_CEILING / peak : 1;
    bool quiet = need == 1 && limiter->filled == 0 && limiter->before == 1;
    limiter->needed[limiter->at] = need;
    limiter->filled = need < 1 ? LOOK_AHEAD + 1 : limiter->filled ? limiter->filled - 1 : 0;
    float least_need = quiet ? 1 : least(limiter);
    float risen = limiter->before + (float)(1 / (AUDIO_RATE * RELEASE_SECONDS));
    float hold = fminf(least_need, fminf(risen, 1));
    limiter->before = hold;
    limiter->sum += (double)hold - (double)limiter->held[limiter->at];
    limiter->held[limiter->at] = hold;
    limiter->reached |= hold < 1;
    size_t next = limiter->at == LOOK_AHEAD ? 0 : limiter->at + 1;
    float factor = (float)(limiter->sum / (LOOK_AHEAD + 1));
    for (int c = 0; c < AUDIO_CHANNELS; c++) {
        limiter->wait[limiter->at * AUDIO_CHANNELS + (size_t)c] = frame[c];
        frame[c] = limiter->wait[next * AUDIO_CHANNELS + (size_t)c] * fminf(factor, 1);
    }
    limiter->at = next;
}

/* ---- passes --------------------------------------------------------------------------------- */

struct pass {
    struct mix *mix;
    float factor;
    bool limited, loop;
    ebur128_state *meter; /* NULL: not measured */
    level_take *take;     /* NULL: not written */
    void *closure;
    float peak;
};

static float block_peak(const float *samples, size_t frames)
{
    float peak = 0;
    for (size_t i = 0; i < frames * AUDIO_CHANNELS; i++) {
        float size = fabsf(samples[i]);
        peak = size > peak ? size : peak;
    }
    return peak;
}

static bool finish(struct pass *pass, float *samples, size_t frames)
{
    float peak = block_peak(samples, frames);
    pass->peak = peak > pass->peak ? peak : pass->peak;
    if (pass->meter)
        ebur128_add_frames_float(pass->meter, samples, frames);
    return !pass->take || pass->take(pass->closure, samples, frames);
}

static void read_block(struct pass *pass, struct limiter *limiter, float *samples, size_t frames)
{
    mix_read(pass->mix, samples, frames);
    for (size_t i = 0; i < frames * AUDIO_CHANNELS; i++)
        samples[i] *= pass->factor;
    for (size_t i = 0; pass->limited && i < frames; i++)
        limit_frame(limiter, samples + i * AUDIO_CHANNELS);
}

static bool run(struct pass *pass)
{
    float samples[BLOCK_FRAMES * AUDIO_CHANNELS];
    struct limiter *limiter = memory_alloc(sizeof *limiter);
    limiter_begin(limiter);
    pass->peak = 0;
    mix_seek(pass->mix, pass->limited && pass->loop ? -RUN_UP : 0);
    /* what comes out of the limiter before the first frame of the file */
    size_t skip = pass->limited ? LOOK_AHEAD + (pass->loop ? RUN_UP : 0) : 0;
    while (skip) {
        size_t frames = skip < BLOCK_FRAMES ? skip : BLOCK_FRAMES;
        read_block(pass, limiter, samples, frames);
        skip -= frames;
    }
    bool going = true;
    for (int64_t left = mix_frames(pass->mix); going && left > 0;) {
        size_t frames = left < BLOCK_FRAMES ? (size_t)left : BLOCK_FRAMES;
        read_block(pass, limiter, samples, frames);
        going = finish(pass, samples, frames);
        left -= (int64_t)frames;
    }
    memory_free(limiter);
    return going;
}

/* The loudness with this factor; NAN where it cannot be told. */
static double measure(struct pass *pass)
{
    pass->meter = ebur128_init(AUDIO_CHANNELS, AUDIO_RATE, EBUR128_MODE_I);
    run(pass);
    double loudness = -HUGE_VAL;
    int result = ebur128_loudness_global(pass->meter, &loudness);
    ebur128_destroy(&pass->meter);
    pass->meter = NULL;
    return result == EBUR128_SUCCESS && isfinite(loudness) ? loudness : NAN;
}

static float limited_factor(double factor)
{
    return (float)(factor > FACTOR_MAX ? FACTOR_MAX : factor);
}

bool level_play(struct mix *mix, const struct audio_order *order, struct audio_report *report,
                level_take *take, void *closure)
{
    struct pass pass = {.mix = mix, .factor = 1, .loop = order->performance->loop};
    double loudness = measure(&pass), factor = 1;
    float peak = pass.peak;
    if (isfinite(loudness))
        factor = pow(10, (order->loudness - loudness) / 20);
    else if (peak > 0)
        factor = QUIET_PEAK / (double)peak;
    pass.factor = limited_factor(factor);
    pass.limited = peak * pass.factor > LEVEL_CEILING;
    report->loudness = isfinite(loudness) ? order->loudness : NAN;
    for (int i = 0; pass.limited && isfinite(loudness) && i < CORRECTIONS; i++) {
        report->loudness = measure(&pass);
        if (fabs(report->loudness - order->loudness) < CLOSE_ENOUGH)
            break;
        factor *= pow(10, (order->loudness - report->loudness) / 20);
        pass.factor = limited_factor(factor);
    }
    pass.take = take;
    pass.closure = closure;
    bool played = run(&pass);
    report->peak = (double)pass.peak;
    report->limited = pass.limited;
    return played;
}
