/*
 * The loudness of the file. The mix is played several times, so that a long file needs no more
 * memory than a short one:
 *
 *     play it and measure its loudness (ITU-R BS.1770, by libebur128)     measure()
 *     the factor from that to the loudness wanted
 *     if a peak would then be over the ceiling, up to CORRECTIONS times:
 *         play it through the limiter, which holds peaks back, and
 *         measure again; stop if that is close enough, else correct
 *         the factor, as a limited mix is softer
 *     play it once more, through the limiter if needed, and write it      run()
 */
#include "audio/audio_int.h"

#include <ebur128.h>
#include <math.h>

enum {
    LOOK_AHEAD = AUDIO_RATE / 200,
    RUN_UP = AUDIO_RATE / 2, /* before a loop begins, so that the limiter begins as it ends */
    CORRECTIONS = 6
};
#define RELEASE_SECONDS 0.15
#define CLOSE_ENOUGH 0.1 /* LU */
#define QUIET_PEAK 0.25  /* the peak if loudness cannot be measured */
#define FACTOR_MAX 1e4

/*
 * Holds peaks back without a jump. Each frame needs a factor that brings its peak to the ceiling.
 * The factor held is the least that any of the next LOOK_AHEAD frames needs, or less while it rises
 * again slowly. What is applied is the mean of the factors held over the last LOOK_AHEAD frames:
 * all of these looked at the frame that comes out now, so the mean is never more than it needs.
 */
struct limiter {
    float needed[LOOK_AHEAD + 1];                  /* ring: of the frames to come */
    float held[LOOK_AHEAD + 1];                    /* ring: over the frames before */
    float wait[(LOOK_AHEAD + 1) * AUDIO_CHANNELS]; /* ring: frames that are not out yet */
    size_t at;                                     /* in the rings */
    size_t filled;                                 /* how many frames until all of `needed` are 1 */
    double sum;                                    /* of `held` */
    float before;                                  /* the latest factor held */
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

/* Takes a frame in and replaces it by the one LOOK_AHEAD before it. */
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

static bool finish(struct pass *pass, float *samples, size_t frames)
{
    pass->peak = fmaxf(pass->peak, peak_of(samples, frames));
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
    /* frames that come out of the limiter before the first one of the file */
    size_t skip = pass->limited ? LOOK_AHEAD + (pass->loop ? RUN_UP : 0) : 0;
    for (size_t frames; skip; skip -= frames) {
        frames = skip < BLOCK_FRAMES ? skip : BLOCK_FRAMES;
        read_block(pass, limiter, samples, frames);
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

/* The loudness with this factor; NAN if it cannot be measured. */
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
    pass.factor = (float)fmin(factor, FACTOR_MAX);
    pass.limited = peak * pass.factor > LEVEL_CEILING;
    report->loudness = isfinite(loudness) ? order->loudness : NAN;
    for (int i = 0; pass.limited && isfinite(loudness) && i < CORRECTIONS; i++) {
        report->loudness = measure(&pass);
        if (fabs(report->loudness - order->loudness) < CLOSE_ENOUGH)
            break;
        factor *= pow(10, (order->loudness - report->loudness) / 20);
        pass.factor = (float)fmin(factor, FACTOR_MAX);
    }
    pass.take = take;
    pass.closure = closure;
    bool played = run(&pass);
    report->peak = (double)pass.peak;
    report->limited = pass.limited;
    return played;
}
