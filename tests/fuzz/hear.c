#include "hear.h"

#include "midi/midi.h"
#include "model/playback.h"
#include "perform/perform.h"

#include <string.h>

/* ---- the performance ------------------------------------------------------------------------ */

static bool is_within(const struct performance *performance, struct fraction at)
{
    return fraction_ok(at) && at.numerator >= 0 && fraction_compare(at, performance->length) <= 0;
}

static bool is_after(struct fraction at, struct fraction before)
{
    return fraction_compare(at, before) >= 0;
}

static bool on_division(const struct performance *performance, struct fraction at)
{
    return 4 * (int64_t)performance->division % at.denominator == 0;
}

static void judge_strikes(const struct performance *performance)
{
    for (size_t i = 0; i < performance->strike_count; i++) {
        const struct strike *strike = &performance->strikes[i];
        MUST(is_within(performance, strike->at));
        MUST(!performance->loop || fraction_compare(strike->at, performance->length) < 0);
        MUST(i == 0 || is_after(strike->at, strike[-1].at));
        MUST(!performance->division || on_division(performance, strike->at));
        MUST(fraction_ok(strike->length) && strike->length.numerator > 0);
        MUST(strike->part < SOUND_PART_COUNT);
        MUST(strike->velocity >= 1 && strike->velocity <= 127 && strike->key <= 127);
    }
}

static void judge_changes(const struct performance *performance)
{
    MUST(performance->tempo_count && performance->tempos[0].at.numerator == 0);
    for (size_t i = 0; i < performance->tempo_count; i++) {
        const struct tempo_change *tempo = &performance->tempos[i];
        MUST(is_within(performance, tempo->at));
        MUST(fraction_ok(tempo->wholes) && tempo->wholes.numerator > 0);
        MUST(fraction_ok(tempo->seconds));
        MUST(i == 0 ||
             (is_after(tempo->at, tempo[-1].at) && is_after(tempo->seconds, tempo[-1].seconds)));
    }
    for (size_t i = 0; i < performance->meter_count; i++) {
        const struct meter_change *meter = &performance->meters[i];
        MUST(is_within(performance, meter->at));
        MUST(i == 0 || is_after(meter->at, meter[-1].at));
        MUST(meter->count && meter->unit && (meter->unit & (meter->unit - 1)) == 0);
    }
    for (size_t i = 0; i < performance->marker_count; i++) {
        MUST(is_within(performance, performance->markers[i].at));
        MUST(i == 0 || is_after(performance->markers[i].at, performance->markers[i - 1].at));
        MUST(performance->markers[i].text);
    }
}

static void judge_performance(const struct performance *performance)
{
    MUST(fraction_ok(performance->length) && performance->length.numerator > 0);
    MUST(performance->division <= DIVISION_MAX);
    judge_strikes(performance);
    judge_changes(performance);
}

/* ---- the file: Standard MIDI-File Format Spec. 1.1 ------------------------------------------- */

struct bytes {
    const unsigned char *at, *end;
};

static uint32_t take(struct bytes *bytes, int count)
{
    uint32_t number = 0;
    MUST(bytes->end - bytes->at >= count);
    while (count-- > 0)
        number = number << 8 | *bytes->at++;
    return number;
}

static uint32_t take_quantity(struct bytes *bytes)
{
    uint32_t number = 0, byte = 0x80;
    for (int i = 0; byte & 0x80; i++) {
        MUST(i < 4);
        byte = take(bytes, 1);
        number = number << 7 | (byte & 0x7F);
    }
    return number;
}

static void take_text(struct bytes *bytes, const char *text)
{
    MUST(bytes->end - bytes->at >= 4 && memcmp(bytes->at, text, 4) == 0);
    bytes->at += 4;
}

/* Where the track ends, in ticks. Every note that begins ends, later. */
static int64_t judge_track(struct bytes *track, size_t *notes)
{
    struct {
        int64_t begun;
        unsigned count;
    } keys[128] = {{0, 0}};
    for (int64_t now = 0;;) {
        now += take_quantity(track);
        uint32_t status = take(track, 1), first = take(track, 1);
        if (status == 0xFF) {
            uint32_t length = take_quantity(track);
            MUST((size_t)(track->end - track->at) >= length);
            track->at += length;
            if (first != 0x2F)
                continue;
            MUST(length == 0 && track->at == track->end);
            for (int key = 0; key < 128; key++)
                MUST(!keys[key].count);
            return now;
        }
        uint32_t second = take(track, 1);
        MUST((status == 0x99 || status == 0x89) && first < 128 && second >= 1 && second < 128);
        if (status == 0x99) {
            MUST(!keys[first].count || keys[first].begun == now);
            keys[first].begun = now;
            keys[first].count++;
            ++*notes;
        } else {
            MUST(keys[first].count && keys[first].begun < now);
            keys[first].count--;
        }
    }
}

static void judge_file(const struct performance *performance, const struct buffer *file,
                       const struct midi_report *report)
{
    struct bytes bytes = {(const unsigned char *)file->bytes,
                          (const unsigned char *)file->bytes + file->length};
    size_t notes = 0;
    take_text(&bytes, "MThd");
    MUST(take(&bytes, 4) == 6 && take(&bytes, 2) == 1);
    uint32_t tracks = take(&bytes, 2), division = take(&bytes, 2);
    MUST(division == report->division && division >= 1 && division <= DIVISION_MAX);
    MUST(report->exact == (performance->division != 0));
    MUST(report->worst_seconds >= 0 && report->worst_seconds < 1);
    double end = fraction_to_double(performance->length) * 4 * division;
    while (tracks-- > 0) {
        take_text(&bytes, "MTrk");
        uint32_t length = take(&bytes, 4);
        MUST((size_t)(bytes.end - bytes.at) >= length);
        struct bytes track = {bytes.at, bytes.at + length};
        double difference = (double)judge_track(&track, &notes) - end;
        MUST(difference > -1 && difference < 2); /* a note at the very end is a tick long */
        bytes.at += length;
    }
    MUST(bytes.at == bytes.end && notes == performance->strike_count);
}

/* ---- with and without options ---------------------------------------------------------------- */

/* The strikes that there are; none where it is not performed. */
static size_t hear(const struct score *score, const struct perform_options *options)
{
    const char *why = NULL;
    const struct performance *performance = perform(score, options, &why);
    MUST(performance ? !why : why && why[0]);
    if (!performance)
        return 0;
    judge_performance(performance);
    struct buffer file = {0};
    struct midi_report report = midi_write(performance, &file);
    judge_file(performance, &file, &report);
    buffer_release(&file);
    return performance->strike_count;
}

/* The leaves of all bars as they are played; no more are counted than that. */
static size_t leaves_played(const struct score *score, size_t most)
{
    size_t leaves = 0;
    for (size_t i = 0; i < score->exercise_count; i++) {
        struct playback playback;
        struct played_bar played;
        playback_begin(&playback, score, &score->exercises[i], 0);
        while (leaves <= most && playback_next(&playback, &played))
            for (int line = 0; line < LINE_COUNT; line++)
                leaves += 1 + played.bar->lines[line].leaf_count;
    }
    return leaves;
}

void hear_score(const struct score *score, uint32_t choice)
{
    /* As `ratamark sound` sets them, the first as without any of its options; limits are those of
       its options. */
    static const struct perform_options sets[] = {
        {.count_in = 1, .click = true, .drums = true},
        {.loop = true, .click = true, .drums = true},
        {.loop = true, .drums = true, .at = 999 * TEMPO_ONE, .times = 3},
        {.count_in = 1, .click = true, .drums = true, .ladder = true},
        {.count_in = 16, .drums = true, .ladder = true, .step = 1, .step_bars = 2},
        {.count_in = 2, .click = true, .ladder = true, .step = 999, .quiet_after = 1},
        {.click = true, .at = 1 * TEMPO_ONE, .times = 2},
        {.drums = true, .at = 1 * TEMPO_ONE},
        {.count_in = 1,
         .click = true,
         .drums = true,
         .at = 997 * TEMPO_ONE,
         .times = 7,
         .quiet_after = 3},
    };
    /* Long lessons say nothing new, and a ladder or a slow buzz makes a thousand times as much. */
    enum { SETS = sizeof sets / sizeof *sets, LEAVES_MOST = 20000, STRIKES_TO_GO_ON = 500 };
    if (leaves_played(score, LEAVES_MOST) > LEAVES_MOST)
        return;
    if (hear(score, &sets[0]) < STRIKES_TO_GO_ON)
        hear(score, &sets[1 + choice % (SETS - 1)]);
}
