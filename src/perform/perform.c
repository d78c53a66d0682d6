/*
 * Performs exercises one after the other.
 *
 *     each exercise                                             play_exercise()
 *         each tempo of its ladder                              play_step()
 *             once through, as often as needed                  play_through()
 *                 the first time: tempo and count-in            count_in()
 *                 each bar in the order played: tempo, meter,
 *                     marker, click, dynamics, strokes          play_bar()
 *                 velocities by the dynamics                    loudness.c
 *     grace strokes and bounces placed, all sorted              settle.c
 *
 * performer->now is where the next bar begins, in whole notes from the very beginning.
 */
#include "perform/perform_int.h"

#include <math.h>
#include <stdio.h>

enum { LEVEL_CLICK_ONE = -40, LEVEL_CLICK_BEAT = -80 };

static const char too_long[] = "it would be longer than 16,384 bars or 524,288 strokes";

/* ---- tempo and meter ------------------------------------------------------------------------ */

/* The first tempo written is the slowest: practice begins there. */
static unsigned first_tempo(const struct tempo *tempo)
{
    return tempo ? tempo->hundredths[0] : PERFORM_TEMPO * TEMPO_ONE;
}

static void set_tempo(struct performer *performer, struct fraction at, struct fraction wholes)
{
    size_t count = performer->tempos.count;
    struct tempo_change change = {.at = at, .wholes = wholes, .seconds = FRACTION_ZERO};
    if (count) {
        const struct tempo_change *last = &performer->tempos.items[count - 1];
        if (fraction_equal(last->wholes, wholes))
            return;
        struct fraction lasted = fraction_subtract(change.at, last->at);
        change.seconds = fraction_add(last->seconds, tempo_seconds(lasted, last->wholes));
        if (!fraction_ok(change.seconds)) { /* after many tempos: the nearest nanosecond */
            double seconds = fraction_to_double(last->seconds) +
                             60 * fraction_to_double(lasted) / fraction_to_double(last->wholes);
            change.seconds = fraction_make(llround(seconds * 1e9), 1000000000);
        }
        if (fraction_equal(last->at, change.at)) {
            performer->tempos.items[count - 1].wholes = wholes;
            return;
        }
    }
    *vector_push(&performer->tempos, performer->arena) = change;
}

/* The tempo with which a bar begins, and by which the bar is counted in. */
static void begin_tempo(struct performer *performer, const struct played_bar *played)
{
    performer->wholes = pace_at(performer, played, played->bar->start);
    set_tempo(performer, performer->now, performer->wholes);
}

/* A speed that changes inside the bar does so in steps of a sixteenth, each as fast as its middle.
 */
static void set_tempos(struct performer *performer, const struct played_bar *played)
{
    const struct fraction step = fraction_make(1, 16), half = fraction_make(1, 2);
    struct fraction length = played->bar->length, from = FRACTION_ZERO;
    performer->changing = paces_change_in_bar(&performer->paces, played);
    performer->playing = *played;
    begin_tempo(performer, played);
    while (performer->changing && fraction_compare(from, length) < 0) {
        struct fraction to = fraction_add(from, step);
        if (fraction_compare(to, length) > 0)
            to = length;
        struct fraction middle = fraction_multiply(fraction_add(from, to), half);
        set_tempo(performer, fraction_add(performer->now, from),
                  pace_at(performer, played, fraction_add(played->bar->start, middle)));
        from = to;
    }
}

/* A bar of `length` begins now. A length that no time signature of MIDI can have sets none. */
static void set_meter(struct performer *performer, const struct score_bar *bar,
                      struct fraction length)
{
    int64_t unit = bar->meter->unit;
    if (unit < length.denominator)
        unit = length.denominator;
    if (unit & (unit - 1) || unit > 64)
        return;
    struct meter_change change = {.at = performer->now,
                                  .count = (uint32_t)(length.numerator * unit / length.denominator),
                                  .unit = (uint32_t)unit,
                                  .beat = tempo_meter_beat(bar->meter)};
    size_t count = performer->meters.count;
    if (count) {
        const struct meter_change *last = &performer->meters.items[count - 1];
        if (last->count == change.count && last->unit == change.unit &&
            fraction_equal(last->beat, change.beat))
            return;
    }
    *vector_push(&performer->meters, performer->arena) = change;
}

static void mark(struct performer *performer, const char *text)
{
    *vector_push(&performer->markers, performer->arena) = (struct marker){performer->now, text};
}

/* ---- the click ------------------------------------------------------------------------------ */

static void add_click(struct performer *performer, struct fraction at, bool one)
{
    struct loose_strike *loose = vector_push(&performer->strikes, performer->arena);
    loose->strike = (struct strike){.at = at,
                                    .note = at,
                                    .length = fraction_make(1, 16),
                                    .part = SOUND_CLICK,
                                    .key = one ? CLICK_KEY_ONE : CLICK_KEY_BEAT};
    loose->steady = true;
    loose->level = one ? LEVEL_CLICK_ONE : LEVEL_CLICK_BEAT;
}

/* Clicks on the beats of a bar in [from, to); `from` is played now. */
static void click_beats(struct performer *performer, const struct meter *meter,
                        struct fraction from, struct fraction to)
{
    struct beat beats[METER_BEATS_MAX];
    size_t count = meter_beats(meter, beats);
    for (size_t i = 0; i < count; i++) {
        if (fraction_compare(beats[i].start, from) < 0 || fraction_compare(beats[i].start, to) >= 0)
            continue;
        struct fraction offset = fraction_subtract(beats[i].start, from);
        add_click(performer, fraction_add(performer->now, offset), i == 0);
    }
}

static bool click_sounds(const struct performer *performer)
{
    const struct perform_options *options = performer->options;
    return options->click &&
           (!options->quiet_after || performer->bars / options->quiet_after % 2 == 0);
}

/* ---- the count-in --------------------------------------------------------------------------- */

static void count_bar(struct performer *performer, const struct score_bar *bar,
                      struct fraction length, bool clicks)
{
    if (clicks)
        click_beats(performer, bar->meter, FRACTION_ZERO, length);
    performer->now = fraction_add(performer->now, length);
}

/* The grace strokes of the very first stroke need time before it: a silent bar. */
static bool begins_with_grace(const struct score_bar *bar)
{
    for (int l = 0; l < LINE_COUNT; l++) {
        const struct score_line *line = &bar->lines[l];
        if (line->leaf_count && leaf_struck(&line->leaves[0]) && line->leaves[0].note->grace_count)
            return true;
    }
    return false;
}

/* Counts whole bars, then what a pickup leaves of its bar. A pickup of half a bar or less is the
   end of the last bar counted. */
static void count_in(struct performer *performer, const struct score_bar *first)
{
    const struct perform_options *options = performer->options;
    unsigned bars = options->count_in;
    bool clicks = bars > 0;
    if (!bars && performer->now.numerator == 0 && begins_with_grace(first))
        bars = 1; /* silent */
    if (options->loop || !bars)
        return;
    mark(performer, "count-in");
    struct fraction whole = meter_length(first->meter);
    struct fraction before = fraction_subtract(whole, first->length);
    bool shared = first->pickup && fraction_compare(first->length, before) <= 0;
    set_meter(performer, first, whole);
    for (unsigned i = shared; i < bars; i++)
        count_bar(performer, first, whole, clicks);
    if (first->pickup)
        count_bar(performer, first, before, clicks);
}

/* ---- bars ----------------------------------------------------------------------------------- */

static void gather_dynamics(struct performer *performer, const struct score_bar *bar)
{
    for (size_t i = 0; i < bar->dynamic_count; i++) {
        struct fraction at =
            fraction_subtract(swing_moment(bar, bar->dynamics[i].onset), bar->start);
        *vector_push(&performer->dynamics, performer->arena) =
            (struct dynamic_change){fraction_add(performer->now, at), bar->dynamics[i].text};
    }
}

static const char *bar_name(struct performer *performer, const struct played_bar *played)
{
    if (played->bar->pickup)
        return "pickup";
    if (played->jumped)
        return arena_format(performer->arena, "bar %u, after the jump", played->bar->number);
    if (played->pass == 1)
        return arena_format(performer->arena, "bar %u", played->bar->number);
    return arena_format(performer->arena, "bar %u, time %u", played->bar->number, played->pass);
}

static bool play_bar(struct performer *performer, const struct played_bar *played, bool counted_in)
{
    const struct score_bar *bar = played->bar;
    if (performer->all_bars++ == PERFORM_BARS_MAX || performer->strikes.count > PERFORM_STRIKES_MAX)
        return false;
    set_tempos(performer, played);
    if (!(bar->pickup && counted_in))
        set_meter(performer, bar, bar->length);
    if (bar->signs && bar->signs->mark.text)
        mark(performer, bar->signs->mark.text);
    mark(performer, bar_name(performer, played));
    if (click_sounds(performer))
        click_beats(performer, bar->meter, bar->start, fraction_add(bar->start, bar->length));
    if (performer->options->drums) {
        gather_dynamics(performer, bar);
        strokes_play(performer, played);
    }
    performer->now = fraction_add(performer->now, bar->length);
    performer->bars += !bar->pickup;
    return true;
}

/* ---- exercises ------------------------------------------------------------------------------ */

/* Once through. `first`: with a count-in. */
static bool play_through(struct performer *performer, const struct score_exercise *exercise,
                         bool first)
{
    struct playback playback;
    struct played_bar played;
    size_t strikes = performer->strikes.count;
    bool loop = performer->options->loop, fits = true;
    playback_begin(&playback, performer->score, exercise, 0);
    while (fits && playback_next(&playback, &played)) {
        if (loop && played.bar->pickup)
            continue;
        if (first) {
            begin_tempo(performer, &played);
            count_in(performer, played.bar);
        }
        fits = play_bar(performer, &played, first && performer->options->count_in);
        first = false;
    }
    levels_settle(performer, strikes, performer->now);
    return fits;
}

static void mark_exercise(struct performer *performer, const struct score_exercise *exercise,
                          unsigned tempo, bool many)
{
    const char *title = exercise->title ? exercise->title : "";
    const char *text =
        arena_format(performer->arena, "%u%s%s", exercise->number, *title ? " " : "", title);
    if (many)
        text = arena_format(performer->arena, "%s, %s", text,
                            tempo_text(tempo, (char[TEMPO_TEXT_ROOM]){0}));
    mark(performer, text);
}

static bool play_step(struct performer *performer, const struct score_exercise *exercise,
                      unsigned tempo, bool many)
{
    const struct perform_options *options = performer->options;
    unsigned written = first_tempo(exercise->tempo);
    performer->faster = fraction_make(tempo, written);
    performer->bars = 0;
    mark_exercise(performer, exercise, tempo, many);
    unsigned times = 0;
    do {
        struct fraction before = performer->now;
        if (!play_through(performer, exercise, times == 0))
            return false;
        if (fraction_equal(before, performer->now))
            break; /* it has no bars */
        times++;
    } while (times < options->times || performer->bars < options->step_bars);
    return true;
}

static size_t stepped_rungs(const struct tempo *tempo, unsigned step,
                            unsigned rungs[TEMPO_RUNGS_MAX])
{
    unsigned goal = tempo->hundredths[tempo->count - 1];
    size_t count = 0;
    for (unsigned next = tempo->hundredths[0]; next < goal && count + 1 < TEMPO_RUNGS_MAX;
         next += step * TEMPO_ONE)
        rungs[count++] = next;
    rungs[count++] = goal;
    return count;
}

size_t perform_rungs(const struct score_exercise *exercise, const struct perform_options *options,
                     unsigned rungs[TEMPO_RUNGS_MAX])
{
    const struct tempo *tempo = exercise->tempo;
    rungs[0] = options->at ? options->at : first_tempo(tempo);
    if (!options->ladder || !tempo)
        return 1;
    return options->step ? stepped_rungs(tempo, options->step, rungs) : tempo_rungs(tempo, rungs);
}

static bool play_exercise(struct performer *performer, const struct score_exercise *exercise)
{
    unsigned rungs[TEMPO_RUNGS_MAX];
    size_t count = perform_rungs(exercise, performer->options, rungs);
    for (size_t i = 0; i < count; i++)
        if (!play_step(performer, exercise, rungs[i], count > 1))
            return false;
    return true;
}

struct performance *perform(const struct score *score, const struct perform_options *options,
                            const char **why)
{
    struct performer performer = {.score = score,
                                  .options = options,
                                  .arena = score->arena,
                                  .now = FRACTION_ZERO,
                                  .faster = FRACTION_ONE,
                                  .paces = {.choice = first_tempo, .gradual = true}};
    bool fits = true;
    for (size_t i = 0; fits && i < score->exercise_count; i++)
        if (exercise_chosen(options->exercises, score->exercises[i].number))
            fits = play_exercise(&performer, &score->exercises[i]);
    paces_release(&performer.paces);
    if (!fits || performer.now.numerator == 0) {
        *why = fits ? "there is nothing to play" : too_long;
        return NULL;
    }
    const struct lesson *lesson = score->lesson;
    struct performance *performance = settle(&performer);
    performance->title = lesson->title.text;
    performance->author = lesson->author.text;
    performance->copyright = lesson->copyright.text;
    return performance;
}
