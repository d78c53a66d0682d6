/*
 * From score to performance: times and strengths, worked out by hand from the rules of
 * ratamark(1), SOUND. A performance is written as "beat:key velocity" with beats in quarters.
 */
#include "base/buffer.h"
#include "built.h"
#include "perform/perform.h"
#include "suite.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct perform_options bare = {.drums = true};

static struct performance *play(const struct built *built, struct perform_options options)
{
    const char *why = NULL;
    struct performance *performance = perform(built->score, &options, &why);
    ck_assert_msg(performance != NULL, "%s", why ? why : "?");
    return performance;
}

/* "0:38 64, 1/3:42 90" */
static const char *told(const struct built *built, const struct performance *performance)
{
    struct buffer text = {0};
    for (size_t i = 0; i < performance->strike_count; i++) {
        const struct strike *strike = &performance->strikes[i];
        struct fraction beat = fraction_multiply(strike->at, fraction_make(4, 1));
        buffer_format(&text, "%s%lld", i ? ", " : "", (long long)beat.numerator);
        if (beat.denominator != 1)
            buffer_format(&text, "/%lld", (long long)beat.denominator);
        buffer_format(&text, ":%d %d", strike->key, strike->velocity);
    }
    const char *kept = arena_copy_text(built->arena, buffer_text(&text), text.length);
    buffer_release(&text);
    return kept;
}

/* A tempo that changes evenly from a to b over n beats takes 60 n ln(b / a) / (b - a) seconds: the
   integral of 60 / tempo. Sixteen beats in 64 steps come within a ten-thousandth of that. */
START_TEST(a_gradual_tempo_takes_as_long_as_its_integral)
{
    static const struct {
        const char *tempo;
        double from, to;
    } changes[] = {{"60 to 120", 60, 120}, {"120 to 60", 120, 60}, {"90 to 91", 90, 91}};
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        struct buffer text = {0};
        buffer_format(&text,
                      "exercises:\n  - {tempo: %s, subdivision: quarters, sticking: RL, "
                      "bars: 4}\n",
                      changes[i].tempo);
        struct built built = built_right(text.bytes);
        struct performance *performance = play(&built, bare);
        double a = changes[i].from, b = changes[i].to, expected = 60 * 16 * log(b / a) / (b - a);
        double seconds = performance_seconds(performance, performance->length);
        ck_assert_msg(fabs(seconds / expected - 1) < 1e-4, "%s: %.6f s, not %.6f", changes[i].tempo,
                      seconds, expected);
        built_release(&built);
        buffer_release(&text);
    }
}
END_TEST

/* The quarters a minute at the beginning of each tempo of the map. */
static double map_tempo(const struct performance *performance, double quarter)
{
    double tempo = 0;
    for (size_t i = 0; i < performance->tempo_count; i++)
        if (4 * fraction_to_double(performance->tempos[i].at) <= quarter)
            tempo = 4 * fraction_to_double(performance->tempos[i].wholes);
    return tempo;
}

/* accel without a goal leads to 5/4, rit to 4/5 of where it begins; a tempo that follows is the
   goal. A step is as fast as its middle: the first of 16 from 80 to 100 is 80.625. */
START_TEST(accel_and_rit_change_the_speed_from_bar_to_bar)
{
    struct built built =
        built_right("exercises:\n"
                    "  - {tempo: 80, subdivision: quarters, sticking: RL, bars: 4,"
                    " pace: {1: accel, 2: rit, 3: a-tempo}}\n"
                    "  - tempo: 80\n    subdivision: quarters\n    sticking: RL\n"
                    "    bars:\n      - {pace: {1: accel}}\n      - {tempo: 120}\n");
    struct performance *performance = play(&built, bare);
    ck_assert_double_eq_tol(map_tempo(performance, 0), 80.625, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 3.9), 99.375, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 4), 99.375, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 7.9), 80.625, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 8), 80, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 16), 81.25, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 19.9), 118.75, 1e-9);
    ck_assert_double_eq_tol(map_tempo(performance, 20), 120, 1e-9);
    built_release(&built);
}
END_TEST

/* What rings lasts a whole note, and no hat ends it; what does not, at most a quarter. */
START_TEST(a_cymbal_is_left_to_ring)
{
    struct built built = built_right("title: T\ntempo: 60\nsubdivision: eighths\nexercises:\n"
                                     "  - {sticking: RL, at: {1: open-hi-hat ring, 2: crash}}\n");
    struct performance *performance = play(&built, bare);
    ck_assert_uint_eq(performance->strikes[0].key, 46);
    ck_assert(performance->strikes[0].rings);
    ck_assert(fraction_equal(performance->strikes[0].length, fraction_make(1, 1)));
    ck_assert(!performance->strikes[2].rings);
    ck_assert(fraction_equal(performance->strikes[2].length, fraction_make(1, 8)));
    built_release(&built);
}
END_TEST

#define HEAD "title: T\ntempo: 60\nsubdivision: quarters\ntime: 2/4\nexercises:\n"

static const struct {
    const char *text;
    struct perform_options options;
    const char *strikes;
} rows[] = {
    {HEAD "  - sticking: RL\n", {.drums = true}, "0:38 64, 1:38 64"},
    /* 12 dB below full strength is mf; accent +6, strong accent +9, ghost -12 */
    {HEAD "  - {sticking: 'R>L^(R)L', bars: 2}\n",
     {.drums = true},
     "0:38 90, 1:38 107, 2:38 32, 3:38 64"},
    /* in a chord each voice is as loud as its own mark makes it */
    {HEAD "  - {sticking: B, voices: 'hi-hat:accent+snare:ghost snare:accent+hi-hat'}\n",
     {.drums = true},
     "0:38 32, 0:42 90, 1:38 90, 1:42 64"},
    {HEAD "  - {sticking: none, hi-hat: 1 2, snare accent: 2, kick accent: 1, hat-foot: 1}\n",
     {.drums = true},
     "0:42 64, 0:36 90, 0:44 64, 1:38 90, 1:42 64"},
    {HEAD "  - {sticking: RLRL, bars: 2, dynamics: {1:1: p, 1:2: cresc, 2:2: f}}\n",
     {.drums = true},
     "0:38 40, 1:38 40, 2:38 57, 3:38 80"},
    {HEAD "  - {sticking: RLRL, bars: 2, dynamics: {1:2: sfz, 2:1: fp}}\n",
     {.drums = true},
     "0:38 64, 1:38 101, 2:38 80, 3:38 40"},
    /* diddles divide the time; the accent is the first stroke's */
    {HEAD "  - {sticking: 'R>/ L//'}\n",
     {.drums = true},
     "0:38 90, 1/2:38 64, 1:38 64, 5/4:38 64, 3/2:38 64, 7/4:38 64"},
    /* three slashes are eight strokes */
    {HEAD "  - {sticking: 'R/// .'}\n",
     {.drums = true},
     "0:38 64, 1/8:38 64, 1/4:38 64, 3/8:38 64, 1/2:38 64, 5/8:38 64, 3/4:38 64, 7/8:38 64"},
    /* the number of a roll counts its last stroke: the one that it is tied to, by the sticking ...
     */
    {HEAD "  - {sticking: 'R///>+ L', roll: 5}\n",
     {.drums = true},
     "0:38 90, 1/4:38 64, 1/2:38 64, 3/4:38 64, 1:38 64"},
    /* ... or by the rhythm; untied, the note has all of them */
    {HEAD "  - {bars: [{rhythm: 4+8 8, sticking: R// L/, roll: {1: 4, 2&: 3}}]}\n",
     {.drums = true},
     "0:38 64, 1/3:38 64, 2/3:38 64, 1:38 64, 3/2:38 64, 5/3:38 64, 11/6:38 64"},
    /* what is tied on from its last stroke is held */
    {HEAD "  - {bars: [{time: 3/4, rhythm: 4+8+8 4, sticking: R// L, roll: {1: 5}}]}\n",
     {.drums = true},
     "0:38 64, 1/4:38 64, 1/2:38 64, 3/4:38 64, 1:38 64, 2:38 64"},
    /* over empty slots it lasts up to its last stroke */
    {"title: T\ntempo: 60\nsubdivision: eighths\ntime: 2/4\nexercises:\n"
     "  - {sticking: 'R///+ . . L', roll: 4}\n",
     {.drums = true},
     "0:38 64, 1/2:38 64, 1:38 64, 3/2:38 64"},
    /* a flam at 60: 30 ms are 28.8 of 960 ticks, so 29; 9 dB below mf */
    {HEAD "  - {sticking: R lR}\n", {.drums = true}, "0:38 64, 931/960:38 38, 1:38 64"},
    /* a drag: 70 and 35 ms */
    {HEAD "  - {sticking: R llR}\n",
     {.drums = true},
     "0:38 64, 893/960:38 38, 463/480:38 38, 1:38 64"},
    /* grace strokes before the first stroke have a bar of silence to fall in */
    {HEAD "  - {sticking: lR L}\n", {.drums = true}, "1891/960:38 38, 2:38 64, 3:38 64"},
    /* and in a loop fall at its end */
    {HEAD "  - {sticking: lR L}\n",
     {.drums = true, .loop = true},
     "0:38 64, 1:38 64, 1891/960:38 38"},
    /* also in one that is shorter than they are early: 30 ms are half a quarter at 999, before a
       loop of 3/8 of a quarter */
    {"title: T\ntempo: 4=999\ntime: 3/32\nexercises:\n  - {bars: [{rhythm: 16., sticking: lR}]}\n",
     {.drums = true, .loop = true},
     "0:38 64, 1/4:38 38"},
    /* too near the stroke before, they divide the room: a 64th at 60 is 62.5 ms, three parts */
    {HEAD "  - {bars: [{rhythm: 64 64 32 16 8 4, sticking: R llR R R R R}]}\n",
     {.drums = true},
     "0:38 64, 1/48:38 38, 1/24:38 38, 1/16:38 64, 1/8:38 64, 1/4:38 64, 1/2:38 64, 1:38 64"},
    /* a buzz of 62.5 ms is two bounces; -6 dB, and on its way to -12 */
    {HEAD "  - {bars: [{rhythm: 16 64 64 32 8 4, sticking: R Rz R R R R}]}\n",
     {.drums = true},
     "0:38 64, 1/4:38 64, 9/32:38 38, 5/16:38 64, 3/8:38 64, 1/2:38 64, 1:38 64"},
    /* repeats, and what stands behind */
    {HEAD "  - {sticking: R., repeat: 2}\n  - {sticking: L.}\n",
     {.drums = true},
     "0:38 64, 2:38 64, 4:38 64"},
    /* the click: one is higher, and the count-in goes before */
    {HEAD "  - sticking: RL\n",
     {.click = true, .count_in = 1},
     "0:76 101, 1:77 80, 2:76 101, 3:77 80"},
    {HEAD "  - sticking: RL\n", {.count_in = 1}, "0:76 101, 1:77 80"},
    {HEAD "  - {sticking: RL, bars: 4}\n",
     {.click = true, .quiet_after = 1},
     "0:76 101, 1:77 80, 4:76 101, 5:77 80"},
    /* a pickup of half the bar stands in the last bar counted, a longer one after it */
    {HEAD "  - {sticking: RL, pickup: {rhythm: 4}}\n",
     {.drums = true, .count_in = 1},
     "0:76 101, 1:38 64, 2:38 64, 3:38 64"},
    {HEAD "  - {sticking: RL, pickup: {rhythm: 4 8}}\n",
     {.drums = true, .count_in = 1},
     "0:76 101, 1:77 80, 2:76 101, 5/2:38 64, 7/2:38 64, 4:38 64, 5:38 64"},
    {HEAD "  - {sticking: RL, pickup: {rhythm: 4}}\n",
     {.drums = true, .loop = true},
     "0:38 64, 1:38 64"},
    {HEAD "  - {sticking: R.}\n", {.drums = true, .times = 3}, "0:38 64, 2:38 64, 4:38 64"},
    /* swing: the pair of the subdivision that is set */
    {HEAD "  - {subdivision: eighths, sticking: RLR., swing: 2/3}\n",
     {.drums = true},
     "0:38 64, 2/3:38 64, 1:38 64"},
    {HEAD "  - {subdivision: sixteenths, sticking: RLRL...., swing: 3/5}\n",
     {.drums = true},
     "0:38 64, 3/10:38 64, 1/2:38 64, 4/5:38 64"},
    {HEAD "  - {subdivision: eighth triplets, sticking: RLR..., swing: 3/4, hat-foot: 2&}\n",
     {.drums = true},
     "0:38 64, 1/3:38 64, 2/3:38 64, 7/4:44 64"},
    {HEAD "  - {time: 6/8, subdivision: eighths, sticking: RLR..., swing: 2/3}\n",
     {.drums = true},
     "0:38 64, 1/2:38 64, 1:38 64"},
    /* a tuplet on the second half of a pair lasts as long as that half */
    {HEAD "  - {swing: 2/3, bars: [{rhythm: 8 3(16*3) _4}]}\n",
     {.drums = true},
     "0:38 64, 2/3:38 64, 7/9:38 64, 8/9:38 64"},
};

START_TEST(strokes_are_played_so)
{
    struct built built = built_right(rows[_i].text);
    ck_assert_str_eq(told(&built, play(&built, rows[_i].options)), rows[_i].strikes);
    built_release(&built);
}
END_TEST

/* ---- tempo ----------------------------------------------------------------------------------- */

static double seconds_of(const char *text, struct perform_options options)
{
    struct built built = built_right(text);
    const struct performance *performance = play(&built, options);
    double seconds = performance_seconds(performance, performance->length);
    built_release(&built);
    return seconds;
}

static const struct {
    const char *text;
    struct perform_options options;
    double seconds;
} lengths[] = {
    {HEAD "  - {bars: 3, sticking: RL}\n", {.drums = true}, 6},
    {HEAD "  - {bars: 3, sticking: RL}\n", {.drums = true, .at = 120 * TEMPO_ONE}, 3},
    {HEAD "  - {bars: 3, sticking: RL}\n",
     {.drums = true, .at = 120 * TEMPO_ONE, .count_in = 2},
     5},
    {HEAD "  - {time: 6/8, subdivision: eighths, sticking: RLR}\n", {.drums = true}, 2},
    {HEAD "  - {time: 6/8, tempo: 8=60, subdivision: eighths, sticking: RLR}\n",
     {.drums = true},
     6},
    {HEAD "  - {time: 5/8, tempo: 100, subdivision: eighths, sticking: RLRLR}\n",
     {.drums = true},
     3},
    {HEAD "  - {tempo: 60-120, sticking: RL}\n", {.drums = true}, 2},
    /* 60 70 .. 120, each once: 120 / bpm seconds */
    {HEAD "  - {tempo: 60-120, sticking: RL}\n",
     {.drums = true, .ladder = true},
     120. / 60 + 120. / 70 + 120. / 80 + 120. / 90 + 120. / 100 + 120. / 110 + 1},
    {HEAD "  - {tempo: 60-120, sticking: RL}\n",
     {.drums = true, .ladder = true, .step = 25},
     120. / 60 + 120. / 85 + 120. / 110 + 1},
    {HEAD "  - {tempo: 60 90, sticking: RL}\n",
     {.drums = true, .ladder = true, .step_bars = 3, .count_in = 1},
     4 * (2 + 120. / 90)},
    /* a bar's own tempo keeps its relation */
    {HEAD "  - {bars: [{}, {tempo: 120}], sticking: RL}\n", {.drums = true}, 3},
    {HEAD "  - {bars: [{}, {tempo: 120}], sticking: RL}\n",
     {.drums = true, .at = 30 * TEMPO_ONE},
     6},
    /* the dotted quarter is as long as the quarter was; then the eighth goes on */
    {HEAD "  - {bars: [{}, {time: 6/8, subdivision: eighths, pulse: 4=4.}, {time: 2/4, pulse: "
          "8=8}], sticking: RL}\n",
     {.drums = true},
     2 + 2 + 4. / 3},
    {"title: T\ntime: 2/4\nexercises:\n  - {subdivision: quarters, sticking: RL}\n",
     {.drums = true},
     2},
};

/* Signs in place of notes, and the same music written out. */
static const struct {
    const char *signs, *written;
} alike[] = {
    {HEAD "  - {bars: [{sticking: R>L}, {same: 1}, {same: 1}]}\n",
     HEAD "  - {bars: [{sticking: R>L}, {sticking: R>L}, {sticking: R>L}]}\n"},
    {HEAD "  - {bars: [{sticking: R>L}, {sticking: (R)R}, {same: 2}, {same: 1}]}\n",
     HEAD "  - {bars: [{sticking: R>L}, {sticking: (R)R}, {sticking: R>L}, {sticking: (R)R}, "
          "{sticking: (R)R}]}\n"},
    /* a sign takes nothing of a sticking that goes round, a bar that is written once does */
    {HEAD "  - {sticking: R>LL, bars: [{}, {same: 1}, {times: 2}]}\n",
     HEAD "  - {sticking: R>LL, bars: [{}, {sticking: R>L}, {}, {}]}\n"},
    /* slashes stand for what the exercise plays */
    {HEAD "  - {sticking: R>LL, kick: 1, bars: [{}, {slashes: yes}, {slashes: yes, time: 3/4}]}\n",
     HEAD "  - {sticking: R>LL, kick: 1, bars: [{}, {}, {time: 3/4}]}\n"},
    {HEAD "  - bars: [{sticking: R>L}, {sticking: LL, segno: yes, to: coda}, "
          "{sticking: (R)R, jump: D.S. al coda}, {sticking: BB, coda: yes}]\n",
     HEAD "  - bars: [{sticking: R>L}, {sticking: LL}, {sticking: (R)R}, {sticking: LL}, "
          "{sticking: BB}]\n"},
    /* the band does not play */
    {HEAD "  - {sticking: R>LL, bars: [{figures: 4 4>}, {slashes: yes, figures: 3(4 4 4)}]}\n",
     HEAD "  - {sticking: R>LL, bars: 2}\n"},
    /* a rest is silent, whatever the exercise plays */
    {HEAD "  - {hi-hat: each beat, kick: 1, bars: [{}, {rest: 2}, {rest: 1, time: 3/4}, {}]}\n",
     HEAD "  - {bars: [{hi-hat: each beat, kick: 1}, {sticking: '..'}, {sticking: '..'}, "
          "{time: 3/4, sticking: '...'}, {hi-hat: each beat, kick: 1}]}\n"},
    {HEAD "  - {bars: [{sticking: RL, dynamics: {1: p, 2: f}}, {same: 1, times: 2}], repeat: 2}\n",
     HEAD "  - {dynamics: {1: p, 2: f}, sticking: RL, bars: 3, repeat: 2}\n"},
    /* what stands over a bar with `times` begins once, and goes on */
    {HEAD "  - {sticking: RL, bars: [{dynamics: {1: p}}, {dynamics: {2: cresc}, times: 3}, "
          "{dynamics: {1: ff}, pace: {1: rit}, times: 3}]}\n",
     HEAD "  - {sticking: RL, bars: [{dynamics: {1: p}}, {dynamics: {2: cresc}}, {}, {}, "
          "{dynamics: {1: ff}, pace: {1: rit}}, {}, {}]}\n"},
};

START_TEST(signs_sound_as_if_written_out)
{
    struct built signs = built_right(alike[_i].signs), written = built_right(alike[_i].written);
    const struct performance *heard = play(&signs, bare), *wanted = play(&written, bare);
    ck_assert_str_eq(told(&signs, heard), told(&written, wanted));
    ck_assert(fraction_equal(heard->length, wanted->length));
    built_release(&signs);
    built_release(&written);
}
END_TEST

START_TEST(it_takes_so_long)
{
    ck_assert_double_eq_tol(seconds_of(lengths[_i].text, lengths[_i].options), lengths[_i].seconds,
                            1e-9);
}
END_TEST

/* A hundred tempos that have little in common: the exact sum does not fit, and is not wrong. */
START_TEST(many_tempos_add_up)
{
    struct buffer text = {0};
    buffer_add_text(&text, HEAD "  - sticking: RL\n    bars:\n");
    double seconds = 0;
    for (int bpm = 101; bpm < 201; bpm++) {
        buffer_format(&text, "      - {tempo: %d}\n", bpm);
        seconds += 120. / bpm;
    }
    ck_assert_double_eq_tol(seconds_of(buffer_text(&text), bare), seconds, 1e-6);
    buffer_release(&text);
}
END_TEST

/*
 * What is called a swing ratio: the long note's time over the short one's, from onset to onset
 * (Friberg and Sundstrom, Swing ratios and ensemble timing in jazz performance, Music Perception
 * 19, 2002; Honing and de Haas, Swing once more, Music Perception 25, 2008; both from memory). They
 * measured ratios from about 3.5:1 in slow to about 1:1 in fast playing, and a short note of about
 * 100 ms in the tempos between: at 200 a minute, 2:1.
 */
static const struct {
    const char *share;
    double ratio;
    int bpm;
    double short_note; /* seconds */
} swings[] = {
    {"1/2", 1, 300, 0.1}, {"3/5", 1.5, 240, 0.1},    {"2/3", 2, 200, 0.1},
    {"3/4", 3, 150, 0.1}, {"7/9", 3.5, 120, 1 / 9.},
};

START_TEST(swing_is_the_ratio_that_is_measured)
{
    struct buffer text = {0};
    buffer_format(&text,
                  "title: T\ntempo: %d\nswing: %s\nexercises:\n  - {subdivision: eighths, "
                  "sticking: RL}\n",
                  swings[_i].bpm, swings[_i].share);
    struct built built = built_right(buffer_text(&text));
    const struct performance *performance = play(&built, bare);
    double at[3];
    for (int i = 0; i < 3; i++)
        at[i] = performance_seconds(performance, performance->strikes[i].at);
    ck_assert_double_eq_tol((at[1] - at[0]) / (at[2] - at[1]), swings[_i].ratio, 1e-9);
    ck_assert_double_eq_tol(at[2] - at[1], swings[_i].short_note, 1e-9);
    built_release(&built);
    buffer_release(&text);
}
END_TEST

START_TEST(what_is_too_long_is_refused)
{
    struct built built = built_right(HEAD "  - {sticking: RL, repeat: 999}\n");
    struct perform_options options = {.drums = true, .times = 100};
    const char *why = NULL;
    ck_assert_ptr_null(perform(built.score, &options, &why));
    ck_assert_ptr_nonnull(why);
    built_release(&built);
}
END_TEST

START_TEST(samples_are_the_nearest)
{
    struct built built = built_right(HEAD "  - {tempo: 97, sticking: RL}\n");
    const struct performance *performance = play(&built, bare);
    ck_assert_int_eq(performance_frame(performance, performance->length, 48000),
                     lround(120. / 97 * 48000));
    ck_assert_int_eq(performance_frame(performance, performance->strikes[1].at, 48000),
                     lround(60. / 97 * 48000));
    built_release(&built);
}
END_TEST

/* A dotted whole note at a 32nd a minute lasts 48 minutes: 96,000 bounces of 30 ms. */
START_TEST(a_buzz_of_an_hour_fills_it_evenly)
{
    struct built built = built_right("title: T\ntempo: 32=1\ntime: 6/4\nexercises:\n"
                                     "  - {bars: [{rhythm: 1., sticking: Rz}]}\n");
    const struct performance *performance = play(&built, bare);
    ck_assert_uint_eq(performance->strike_count, 96000);
    for (size_t i = 0; i < performance->strike_count; i += 1000)
        ck_assert_double_eq_tol(fraction_to_double(performance->strikes[i].at),
                                1.5 * (double)i / 96000, 1. / 960 / 4);
    built_release(&built);
}
END_TEST

/* Through repeats and a practice form, every stroke names the leaf that has its hit; grace strokes
   and bounces also the moment of their note. */
START_TEST(strokes_say_where_they_are_written)
{
    struct built built = built_right(
        "exercises:\n  - id: a\n    subdivision: sixteenths\n    repeat: 2\n"
        "    sticking: 'R lL Rz L rrL R L R LRLR LRLL RRLL RRLL RRLL RRLL'\n    bars: 2\n"
        "    feet: {subdivision: quarters, sticking: RL}\n"
        "  - {title: Form, sequence: a a}\n");
    const struct performance *performance = play(&built, bare);
    for (size_t i = 0; i < performance->strike_count; i++) {
        const struct strike *strike = &performance->strikes[i];
        ck_assert_uint_eq(strike->exercise, 0);
        const struct score_bar *bar = &built.score->exercises[0].bars[strike->bar];
        const struct leaf *leaf = &bar->lines[strike->line].leaves[strike->leaf];
        bool has_hit = false;
        for (size_t k = 0; k < leaf->note->hit_count; k++)
            has_hit |= leaf->note->hits[k].limb == strike->limb;
        ck_assert(has_hit);
        int64_t bars = fraction_floor(strike->note);
        struct fraction in_bar = fraction_subtract(strike->note, fraction_make(bars, 1));
        ck_assert(fraction_equal(in_bar, leaf->onset));
        ck_assert_int_eq(bars % 2, strike->bar);
        ck_assert_int_eq(strike->kind == STRIKE_GRACE,
                         fraction_compare(strike->at, strike->note) < 0);
    }
    ck_assert_uint_gt(performance->strike_count, 100);
    built_release(&built);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("perform");
    TCase *cases = tcase_create("perform");
    tcase_add_loop_test(cases, strokes_are_played_so, 0, sizeof rows / sizeof *rows);
    tcase_add_loop_test(cases, signs_sound_as_if_written_out, 0, sizeof alike / sizeof *alike);
    tcase_add_loop_test(cases, it_takes_so_long, 0, sizeof lengths / sizeof *lengths);
    tcase_add_test(cases, a_cymbal_is_left_to_ring);
    tcase_add_test(cases, strokes_say_where_they_are_written);
    tcase_add_test(cases, a_gradual_tempo_takes_as_long_as_its_integral);
    tcase_add_test(cases, accel_and_rit_change_the_speed_from_bar_to_bar);
    tcase_add_test(cases, many_tempos_add_up);
    tcase_add_loop_test(cases, swing_is_the_ratio_that_is_measured, 0,
                        sizeof swings / sizeof *swings);
    tcase_add_test(cases, what_is_too_long_is_refused);
    tcase_add_test(cases, samples_are_the_nearest);
    tcase_add_test(cases, a_buzz_of_an_hour_fills_it_evenly);
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
